"""Sister channels: what is shared, what is renamed, what is asked."""

import pytest

from tracegraph.notation.source import from_text
from tracegraph.stage.meaning.channels import sister_net
from tracegraph.stage.part import Status
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

U = """\
ground COM
rail P15 15V
channel U
  input U_IN 0V / 5V
  R31 10R U_IN -- U_GATE
  R32 10k U_GATE -- SRC
  chain P15 -- R33 1k -- R34 1k -- SRC
  rest SRC -- COM 1k8
end
"""


def section(like: str, after: str = "") -> Stage:
    return read(from_text("pump.trace", f"{U}{like}\n{after}\n"))


@pytest.mark.parametrize(
    ("net", "sister"),
    [
        ("U_GATE", "V_GATE"),
        ("GATE-U", "GATE-V"),
        ("u_gate", "V_gate"),
        ("BUS", "V_BUS"),
        ("OUT/U/HIGH", "OUT/V/HIGH"),
        ("+15U", "V_+15U"),
    ],
)
def test_a_net_holding_the_channels_name_as_a_word_gets_it_replaced(
    net: str, sister: str
) -> None:
    assert sister_net(net, "U", "V") == sister


def test_the_sister_has_her_own_parts_and_nets_and_shares_the_rails() -> None:
    stage = section("channel V like U R31=R41 R32=R42 R33=R43 R34=R44")
    assert stage.net("R41.1") == "V_IN"
    assert stage.net("R42.2") == "V_SRC"
    assert stage.net("R43.1") == "P15"
    assert stage.net("R43.2") == stage.net("R44.1") == "R43.2"
    assert [driven.net for driven in stage.inputs] == ["U_IN", "V_IN"]
    assert [(rest.a, rest.b) for rest in stage.rests] == [
        ("SRC", "COM"),
        ("V_SRC", "COM"),
    ]


def test_a_copy_knows_where_it_was_written_and_where_it_was_placed() -> None:
    stage = section("channel V like U R31=R41 R32=R42 R33=R43 R34=R44")
    copy = stage.part("R41")
    assert copy
    assert copy.written
    assert copy.placed
    assert (copy.channel, copy.written.line, copy.placed.line) == ("V", 5, 10)


def test_a_channel_is_known_by_the_line_that_opens_it() -> None:
    stage = section("channel V like U R31=R41 R32=R42 R33=R43 R34=R44")
    lines = [channel.span.line for channel in stage.channels if channel.span]
    assert lines == [3, 10]


def test_a_remark_on_the_opening_line_is_kept() -> None:
    stage = read(from_text("p", U.replace("channel U", 'channel U note "left leg"')))
    assert stage.notes == ("left leg",)


def test_a_net_used_outside_the_channel_is_shared() -> None:
    stage = section(
        "channel V like U R31=R41 R32=R42 R33=R43 R34=R44", "R99 1R SRC -- COM"
    )
    assert stage.net("R42.2") == "SRC"


def test_a_declared_difference_is_lawful() -> None:
    stage = section(
        "channel V like U R31=R41 R32=R42 R33=R43 R34=R44 "
        'except R41 22R 1%, R42 absent, R43 "about 2k2"'
    )
    first, second, third = (stage.part(ref) for ref in ("R41", "R42", "R43"))
    assert first
    assert second
    assert third
    assert first.quantity("r").high == pytest.approx(22.22)
    assert second.status is Status.ABSENT
    assert third.quantity("r").low == pytest.approx(2200 / 1.5)
    assert stage.channels[1].lawful == ("R41", "R42", "R43")


def test_a_constant_offset_is_proposed_for_pairs_not_given() -> None:
    stage = section("channel V like U R31=R41")
    (asked,) = (one for one in stage.problems if one.code == "offset-assumed")
    assert "R32=R42 R33=R43 R34=R44" in asked.hint
    assert stage.part("R44")


def test_no_pair_at_all_is_numbered_on_by_hundreds() -> None:
    stage = section("channel V like U")
    assert stage.part("R131")


def test_a_net_may_be_given_another_name() -> None:
    stage = section("channel V like U R31=R41 R32=R42 R33=R43 R34=R44 SRC=HOT_V")
    assert stage.net("R42.2") == "HOT_V"


def test_a_slip_in_the_first_channel_is_told_once() -> None:
    text = U.replace("R31 10R", "R31 10R 4k7x")
    stage = read(
        from_text("p", f"{text}channel V like U R31=R41 R32=R42 R33=R43 R34=R44")
    )
    assert [one.code for one in stage.problems].count("odd-word") <= 1


def test_a_package_takes_its_units_along() -> None:
    text = "channel U\nU7.A comparator out=O in-=A in+=B gnd=COM vcc=P5\nend\n"
    stage = read(from_text("p", f"{text}channel V like U U7=U8"))
    assert stage.part("U8.A")


def test_a_pair_that_is_written_holds_for_a_net_used_outside_too() -> None:
    stage = read(
        from_text(
            "bench",
            "ground G\nR9 10k PH_U -- G\nchannel U\nR31 10R HO_U -- G_U\n"
            "R32 10k G_U -- PH_U\nend\n"
            "channel V like U R31=R41 R32=R42 PH_U=PH_V\nR10 10k PH_V -- G\n",
        )
    )
    assert [one for one in stage.problems if one.severity == "error"] == []
    sister = stage.part("R42")
    assert sister is not None
    assert list(sister.pins.values()) == ["G_V", "PH_V"]
