"""Two channels of one section: parts found by their places, lawful differences told."""

from pathlib import Path

import pytest

from tracegraph.asking.api import read
from tracegraph.compare.compare import CompareError, compare
from tracegraph.compare.sisters import channel_of, find_channel, sisters
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Remove, Tie

PUMP = read(Path(__file__).parents[2] / "examples" / "solar-pump-half-bridge.trace")
PAIRS = {part: part.replace("3", "4", 1) for part in find_channel(PUMP, "V").parts}

OUT = """\
ground COM
rail P15 15V
channel U
  input IN_U 0V / 5V via 100R
  R1 1k IN_U -- B_U
  Q1 npn b=B_U c=OUT_U e=COM
  R2 10k OUT_U -- P15
end
channel V
  input IN_V 0V / 5V via 100R
  R12 10k P15 -- X
  Q11 pnp b=Y c=X e=COM
  R11 2k2 IN_V -- Y
end
"""


def test_a_phase_like_its_sister_differs_as_declared() -> None:
    told = sisters(PUMP, "V", "U")
    assert dict(told.parts) == PAIRS
    assert [(one.traced, one.lawful) for one in told.differences] == [("C41", True)]
    assert told.cost == 0
    assert told.equal


def test_a_part_missing_in_one_phase() -> None:
    told = sisters(apply(PUMP, [Remove("R44")]), "v", "u")
    (missing,) = [one for one in told.differences if not one.lawful]
    assert missing.words == "R44 (R34 in the reference) is missing (reference line 46)"
    assert (missing.traced, missing.reference) == ("R44", "R34")


def test_the_other_way_round_it_is_an_extra_part() -> None:
    told = sisters(apply(PUMP, [Remove("R44")]), "U", "V")
    (extra,) = [one for one in told.differences if not one.lawful]
    assert extra.words == "R34 is extra: the reference has no such part"


def test_phases_in_two_files() -> None:
    u = channel_of(PUMP, find_channel(PUMP, "U"))
    v = channel_of(apply(PUMP, [Remove("D43")]), find_channel(PUMP, "V"))
    told = compare(v, u)
    assert {one.reference: one.kind.value for one in told.differences} == {
        "D33": "absent",
        "C31": "value",
    }


def test_channels_written_out() -> None:
    told = sisters(read(OUT), "V", "U")
    assert dict(told.parts) == {"R1": "R11", "Q1": "Q11", "R2": "R12"}
    assert {one.words for one in told.differences} == {
        "R11 (R1 in the reference) reads 2k2 here, 1k in the reference: 2.2 times more",
        "Q11 (Q1 in the reference) is PNP here, NPN in the reference",
    }


def test_a_bridge_between_the_phases() -> None:
    told = sisters(apply(PUMP, [Tie("GL_U", "GL_V")]), "V", "U")
    assert [one.words for one in told.differences if not one.lawful] == [
        "GL_U and GL_V are joined: a bridge between the channels"
    ]
    assert told.cost == 1


def test_a_channel_that_is_not_there() -> None:
    with pytest.raises(
        CompareError, match="no channel W in this section; channels: U, V"
    ):
        sisters(PUMP, "W", "U")
