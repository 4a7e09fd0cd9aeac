"""What every part of a powered section bears against what it may: amperes, watts, volts."""

from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.display import show
from tracegraph.meter.carriers import legs
from tracegraph.meter.live.standing import Standing
from tracegraph.stage.branch import Conductor
from tracegraph.stage.jobs import drain_of, gate_of, source_of
from tracegraph.stage.kinds.driver import DRIVER
from tracegraph.stage.limits import PIN_AMPS, limit_of
from tracegraph.stage.part import Part

GATE_VOLTS = 20.0  # gate to source of most types; data sheets, from memory
NEAR = 0.7  # part of a limit from which a part is named


class Load(NamedTuple):
    """What a part bears.

    Attributes:
        ref: Its designator, or the net of an input.
        value: How much.
        limit: How much it may.
        unit: W, A or V.
        words: What bears it and how, for a sentence: `burns`, `carries`...
        written: Whether the limit stands in the file; else it is the usual one.
    """

    ref: str
    value: float
    limit: float
    unit: str
    words: str
    written: bool = False

    @property
    def over(self) -> bool:
        """Whether it is more than it may."""
        return self.value > self.limit

    @property
    def text(self) -> str:
        """The load as a sentence."""
        much, may = show(self.value, self.unit, 2), show(self.limit, self.unit, 2)
        of = "its rating" if self.written else "what is usual"
        margin = f"over {of} of {may}" if self.over else f"of {of}, {may}"
        return f"{self.ref} {self.words} {much}, {margin}"


def loads(found: Standing) -> tuple[Load, ...]:
    """Return what every part bears that has a limit, the closest to it first."""
    every = [*_inputs(found), *_parts(found)]
    return tuple(sorted(every, key=lambda one: -one.value / one.limit))


def _inputs(found: Standing) -> Iterator[Load]:
    """Yield what controllers' pins give."""
    for owner, many in found.currents.items():
        kind, _, net = owner.partition(" ")
        if kind == "input" and found.stage.part(owner) is None:
            amps = abs(float(many[0][0]))
            yield Load(net, amps, PIN_AMPS, "A", "draws from the controller")


def _parts(found: Standing) -> Iterator[Load]:
    watts: dict[str, float] = {}
    amps: dict[str, float] = {}
    volts: dict[str, float] = {}
    for placed, ends, flows in legs(found.circuit, found.nodes):
        ref = placed.owner
        levels = [float(found.nodes[end]) for end in ends]
        power = sum(a * b for a, b in zip(levels, flows.tolist(), strict=True))
        watts[ref] = watts.get(ref, 0.0) + power
        amps[ref] = max(amps.get(ref, 0.0), float(abs(flows).max(initial=0.0)))
        spread = max(levels) - min(levels)
        inner = isinstance(placed.branch, Conductor) and len(ends) == 2
        volts[ref] = max(volts.get(ref, 0.0), spread if len(ends) > 1 or inner else 0.0)
    for ref, power in watts.items():
        part = found.stage.part(ref)
        if part is not None and part.fitted:
            yield from _of_part(found, part, (abs(power), amps[ref], volts[ref]))


def _of_part(
    found: Standing, part: Part, bears: tuple[float, float, float]
) -> Iterator[Load]:
    power, amps, volts = bears
    if drain_of(part) and source_of(part):
        volts = abs(found.across(drain_of(part), source_of(part)))
    for unit, value, verb in (
        ("W", power, "burns"),
        ("A", amps, "carries"),
        ("V", volts, "stands"),
    ):
        limit = limit_of(part, unit)
        if limit:
            yield Load(part.ref, value, limit.most, unit, verb, limit.written)
    if {"g", "s"} <= part.pins.keys() or {"g", "e"} <= part.pins.keys():
        gate = abs(found.across(gate_of(part), source_of(part)))
        yield Load(part.ref, gate, GATE_VOLTS, "V", "has on its gate")
    if part.kind is DRIVER:
        peak = part.quantity("ipk").typical or 1.0
        yield Load(part.ref, amps, peak, "A", "gives at rest", "ipk" in part.given)


def worth_telling(every: tuple[Load, ...]) -> tuple[Load, ...]:
    """Return the loads that are over their limits or close to them."""
    return tuple(one for one in every if one.value > NEAR * one.limit)
