"""The levels that the examples were worked out by hand to have, against the solver."""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import powered
from tracegraph.notation.source import from_bytes
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.part import Part
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage, State

EXAMPLES = Path(__file__).parents[1] / "examples"
LEVEL = re.compile(
    r"^# level (\S+)\s+(\S+)\s+(\S+)\s+(-?[\d.]+)V\s+([\d.]+)V(?!\S)", re.MULTILINE
)


def stated(stage: Stage, state: State) -> Stage:
    """Return the section with what a state sets put into its rails and parts."""
    settings = {name.lower(): value for name, value in state.settings.items()}
    volts = {
        net: value for net, value in settings.items() if isinstance(value, Quantity)
    }
    rails = tuple(
        rail._replace(volts=volts.get(rail.net.lower(), rail.volts))
        for rail in stage.rails
    )
    parts = tuple(put(part, settings.get(part.ref.lower())) for part in stage.parts)
    return replace(stage, rails=rails, parts=parts)


def put(part: Part, setting: Quantity | str | None) -> Part:
    """Return a part as a state sets it; a value nobody could read is taken as 10 k."""
    if isinstance(setting, Quantity):
        return part.with_given("temp", setting)
    if setting is not None:
        return part.with_given("on", exact(float(setting in {"on", "closed"}), ""))
    if part.has("r") and not part.quantity("r").known:
        return part.with_given("r", exact(10e3, "ohm"))
    return part


def states() -> Iterator[tuple[str, str]]:
    for path in sorted(EXAMPLES.glob("*.trace")):
        found = LEVEL.findall(path.read_text("utf-8"))
        yield from ((path.name, state) for state in sorted({row[0] for row in found}))


@pytest.mark.parametrize(("name", "state"), list(states()))
def test_the_levels_are_those_worked_out_by_hand(name: str, state: str) -> None:
    data = (EXAMPLES / name).read_bytes()
    stage = read(from_bytes(name, data))
    setting = next(one for one in stage.states if one.name == state)
    circuit = compile_stage(stated(stage, setting), state)
    volts, _, converged = powered(circuit)
    assert converged.all()
    for _, red, black, typical, within in (
        row for row in LEVEL.findall(data.decode()) if row[0] == state
    ):
        ends = [circuit.node(stage.net(net) or net) for net in (red, black)]
        assert None not in ends
        level = volts[0, ends[0]] - volts[0, ends[1]]
        assert level == pytest.approx(float(typical), abs=float(within)), red
