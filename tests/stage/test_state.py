"""A state put into contacts, temperatures and rails."""

import pytest

from tracegraph.notation.source import from_text
from tracegraph.quantity import Quantity
from tracegraph.stage.change import Cut
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Condition
from tracegraph.stage.state import StateError, find_state, in_state, on_bench

STAGE = read(
    from_text(
        "dryer.trace",
        "\n".join(
            (
                "ground COM",
                "rail P12 12V",
                "input DRV 0V / 5V",
                "K1 relay 270R a1=P12 a2=COM com=A no=B",
                "S3 switch A -- B",
                "NTC1 10k b=3435K A -- COM",
                "RV1 trimmer 10k 1=A 2=B 3=COM",
                "state Run DRV=high K1=on S3=closed NTC1=85C P12=11.5V RV1=30%",
                "state idle",
            )
        ),
    )
)


def setting(state: str, ref: str, symbol: str) -> float | None:
    part = in_state(STAGE, state).part(ref)
    assert part
    return part.quantity(symbol).typical


def test_nothing_is_wrong_with_the_section() -> None:
    assert not [one for one in STAGE.problems if one.severity == "error"]


@pytest.mark.parametrize(
    ("ref", "symbol", "value"),
    [("K1", "on", 1), ("S3", "on", 1), ("NTC1", "temp", 85), ("RV1", "set", 0.3)],
)
def test_a_state_sets_what_can_differ(ref: str, symbol: str, value: float) -> None:
    assert setting("run", ref, symbol) == pytest.approx(value)
    assert setting("idle", ref, symbol) != pytest.approx(value)


def test_a_state_sets_rails_and_leaves_inputs_readable() -> None:
    rail = in_state(STAGE, "run").rails[0]
    assert rail.volts.typical == 11.5
    assert find_state(STAGE, "RUN").settings["DRV"] == "high"
    told = find_state(STAGE, "run").settings["P12"]
    assert isinstance(told, Quantity)


def test_an_unknown_state_is_named_with_those_declared() -> None:
    with pytest.raises(
        StateError, match="no state stop in this section; declared: Run, idle"
    ):
        in_state(STAGE, "stop")


def test_the_bench_as_it_stood() -> None:
    condition = Condition("run", (Cut(Pin("S3", "1")),), unplugged=("A",))
    stage = on_bench(STAGE, condition)
    assert stage.net("S3.1") == "S3.1"
    assert stage.unplugged == ("A",)
    assert stage.rails[0].volts.typical == 11.5
