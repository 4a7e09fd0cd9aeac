"""Changes made to a section: exact, pure, and able to be written out."""

from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.plain import plain
from tests.strategies import stages
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.alter import ChangeError, apply, happened
from tracegraph.stage.change import (
    Add,
    Become,
    Change,
    Cut,
    Permute,
    Remove,
    Split,
    Tie,
    Vary,
)
from tracegraph.stage.part import Part, Pin, Status
from tracegraph.stage.read import read
from tracegraph.stage.reading import Event
from tracegraph.stage.stage import Link, LinkForm, Stage
from tracegraph.stage.write import write


def section(*lines: str) -> Stage:
    return read(from_text("bench.trace", "\n".join(("ground COM", *lines))))


def part(stage: Stage, ref: str) -> Part:
    found = stage.part(ref)
    assert found
    return found


BOARD = section(
    "chain P12 -- R1 1k -- R2 2k2 -- GATE",
    "R3 10k GATE -- COM",
    "Q1 npn b=GATE c=P12 e=COM",
    "D1 absent COM -> P12",
    "link P12 HV",
)


def test_a_lifted_leg_gets_a_net_called_by_itself() -> None:
    stage = apply(BOARD, [Cut(Pin("R3", "1"))])
    assert stage.net("R3.1") == "R3.1"
    assert stage.nets["GATE"] == (Pin("R2", "2"), Pin("Q1", "b"))


def test_what_was_called_by_the_lifted_leg_is_called_by_the_next_pin() -> None:
    stage = apply(BOARD, [Cut(Pin("R1", "2"))])
    assert stage.nets["R1.2"] == (Pin("R1", "2"),)
    assert stage.nets["R2.1"] == (Pin("R2", "1"),)


def test_a_bridge_is_a_link_that_should_not_be() -> None:
    stage = apply(BOARD, [Tie("GATE", "Q1.e", 12.0)])
    assert stage.links[-1] == Link("GATE", "COM", LinkForm.BRIDGE, 12.0)


def test_a_drifted_value_keeps_everything_else() -> None:
    stage = apply(BOARD, [Vary("R3", "r", exact(20e3, "ohm"))])
    assert part(stage, "R3").quantity("r").typical == 20e3
    assert part(stage, "R3").pins == part(BOARD, "R3").pins


def test_a_part_fitted_the_wrong_way_round_exchanges_nets() -> None:
    swap = Permute("Q1", MappingProxyType({"c": "e", "e": "c"}))
    assert dict(part(apply(BOARD, [swap]), "Q1").pins) == {
        "b": "GATE",
        "c": "COM",
        "e": "P12",
    }
    assert plain(apply(BOARD, [swap, swap])) == plain(BOARD)


def test_a_wrong_part_stands_on_the_same_pads() -> None:
    stage = apply(BOARD, [Become("Q1", "nfet")])
    found = part(stage, "Q1")
    assert (found.kind.word, dict(found.pins)) == (
        "nfet",
        {"g": "GATE", "d": "P12", "s": "COM"},
    )


def test_a_part_out_of_its_holes_conducts_no_more() -> None:
    assert not part(apply(BOARD, [Remove("Q1")]), "Q1").fitted


def test_a_broken_track_takes_its_pins_along() -> None:
    pins = (Pin("R3", "1"), Pin("Q1", "b"))
    stage = apply(BOARD, [Split("GATE", pins)])
    assert stage.nets["R3.1"] == pins
    assert stage.nets["GATE"] == (Pin("R2", "2"),)


def test_an_empty_place_can_be_filled_and_a_stand_in_added() -> None:
    empty = part(BOARD, "D1")
    stage = apply(BOARD, [Add(replace(empty, status=Status.FITTED))])
    assert part(stage, "D1").fitted
    extra = replace(part(BOARD, "R3"), ref="R99")
    assert apply(BOARD, [Add(extra)]).parts[-1].ref == "R99"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (Cut(Pin("R9", "1")), "there is no part R9"),
        (Cut(Pin("Q1", "x")), "Q1 is an NPN transistor and has no pin x"),
        (Tie("GATE", "GTAE"), "there is no net or pin GTAE"),
        (Tie("GATE", "COM", -1.0), "no resistance for a bridge"),
        (Tie("GATE", "COM", float("nan")), "no resistance for a bridge"),
        (Vary("R3", "vz", exact(5, "V")), "R3 is a resistor and has no vz"),
        (Permute("Q1", {"b": "c"}), "does not exchange pins of Q1"),
        (Become("Q1", "gadget"), "no kind of part called gadget"),
        (Become("Q1", "npn", {"vz": exact(5, "V")}), "has no vz"),
        (Remove("R9"), "there is no part R9"),
        (Split("GATE", (Pin("R1", "1"),)), "R1.1 is not on GATE"),
        (Add(part(BOARD, "R3")), "R3 is on the board already"),
    ],
)
def test_what_the_section_does_not_have_is_named(change: Change, sentence: str) -> None:
    with pytest.raises(ChangeError) as caught:
        apply(BOARD, [change])
    assert sentence in str(caught.value)


def test_a_cut_link_is_gone_after_its_event() -> None:
    stage = section("R1 1k A -- COM", "link A B", "cut link A B", "removed R1")
    cut, removed = stage.log
    assert isinstance(cut, Event)
    assert isinstance(removed, Event)
    assert happened(stage, cut).links == ()
    assert not part(happened(stage, removed), "R1").fitted


@st.composite
def changed(draw: st.DrawFn) -> tuple[Stage, list[Change]]:
    """Return a section and changes that it allows."""
    stage = draw(stages())
    pins = [Pin(one.ref, name) for one in stage.parts for name in one.pins]
    nets = st.sampled_from(sorted(stage.nets))
    one = st.sampled_from(stage.parts)
    change: st.SearchStrategy[Change] = st.one_of(
        st.builds(Cut, st.sampled_from(pins)),
        st.builds(Tie, nets, nets, st.sampled_from((0.0, 12.0, 1e3))),
        st.builds(lambda part: Remove(part.ref), one),
        one.map(_turned),
        one.map(_first_off),
    )
    return stage, draw(st.lists(change, min_size=1, max_size=3))


def _turned(part: Part) -> Change:
    names = list(part.pins)
    around = dict(zip(names, [*names[1:], names[0]], strict=True))
    return Permute(part.ref, MappingProxyType(around))


def _first_off(part: Part) -> Change:
    name, net = next(iter(part.pins.items()))
    return Split(net, (Pin(part.ref, name),))


@given(changed())
def test_an_altered_section_can_be_written_and_read_back(
    drawn: tuple[Stage, list[Change]],
) -> None:
    stage, changes = drawn
    try:
        altered = apply(stage, changes)
    except ChangeError:
        return  # a pin was split off twice
    again = read(from_text("again.trace", write(altered)))
    assert wiring(again) == wiring(altered)
    assert len(again.links) == len(altered.links)


def wiring(stage: Stage) -> dict[str, object]:
    """Return each part's kind, nets, values and status."""
    return {
        one.ref: (one.kind.word, dict(one.pins), plain(one.given), one.status)
        for one in stage.parts
    }


@given(stages())
def test_no_change_changes_nothing(stage: Stage) -> None:
    assert apply(stage, ()) is stage
