"""The wave at a net: the section run in time, healthy and as asked, and measured."""

from collections.abc import Iterator

import numpy as np

from tracegraph.display import show
from tracegraph.network.circuit import Floats
from tracegraph.stage.branch import Store
from tracegraph.stage.change import Add
from tracegraph.stage.jobs import GATED, job_of
from tracegraph.stage.kinds.gate_charge import gate_charge
from tracegraph.stage.part import Part
from tracegraph.stage.reading import COLD, Condition
from tracegraph.stage.reference import reference_of
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state, on_bench
from tracegraph.waves.inputs import Drive, drive_of
from tracegraph.waves.measures import measures
from tracegraph.waves.peak import peaks
from tracegraph.waves.result import Gate, Trace, Wave, WaveError
from tracegraph.waves.running import MOST, run
from tracegraph.waves.switch import gate_of, gated_at, into_net, switches

PERIODS = 3
LARGE = 20.0  # times a gate's capacitance: more at a gate was hardly meant
SMALL = 0.02  # times: less stands in for nothing
THOUSAND = 1e3


def wave(
    stage: Stage,
    net: str,
    condition: Condition | None = None,
    *,
    periods: int = PERIODS,
    patience: int = MOST,
) -> Wave:
    """Return what a scope shows at a net while the inputs switch.

    Args:
        stage: The section.
        net: Where the tip stands.
        condition: How the bench stands; its power names the state of whatever does
            not switch. What it alters is compared with the section as it is.
        periods: How many periods are shown.
        patience: For how many periods two are waited for that agree.

    Raises:
        ChangeError: The condition speaks of something that the section lacks.
        StateError: The section declares no such state.
        WaveError: Nothing drives the section, or it cannot be solved.
    """
    condition = condition or Condition()
    state = None if condition.power == COLD else condition.power
    _refuse_missing(stage)
    drive = drive_of(stage, net, state)
    against = reference_of(stage, net)
    altered = on_bench(stage, condition._replace(power=COLD))
    where = (net, against, max(periods, 2), patience)
    asked = _trace(_in_state(altered, state), stage, drive, *where)
    healthy = None
    if condition.changes or condition.unplugged:
        healthy = _trace(_in_state(stage, state), stage, drive, *where)
    return Wave(
        net,
        against,
        condition,
        drive.inputs,
        asked,
        healthy,
        (
            *drive.doubts,
            *_doubts(altered, stage, net, condition),
            *peaks(altered, net, asked.gate),
        ),
        (*_undriven(altered, drive), *drive.taken, *_taken(altered, net)),
    )


def _refuse_missing(stage: Stage) -> None:
    if not stage.grounds:
        raise WaveError(
            "no ground is declared, so nothing is driven: write such as `ground COM`"
        )
    for rail in stage.rails:
        if rail.volts.typical is None:
            line = f" (line {rail.span[0]})" if rail.span else ""
            raise WaveError(
                f"rail {rail.net}{line} has no voltage: write such as "
                f"`rail {rail.net} 15V`"
            )


def _in_state(stage: Stage, state: str | None) -> Stage:
    """Return the section with the contacts and rails of a state, else of the first."""
    if state:
        return in_state(stage, state)
    return in_state(stage, stage.states[0].name) if stage.states else stage


def _trace(
    stage: Stage,
    whole: Stage,
    drive: Drive,
    net: str,
    against: str,
    *wait: int,
) -> Trace:
    if net not in stage.nets:
        raise WaveError(f"{net} is on no part any more")
    ran = run(stage, drive, *wait)
    volts, period = ran.volts(net, against), 1 / drive.inputs[0].hertz
    found = measures(ran.times, volts)
    amps: Floats = np.zeros(0)
    gate: Gate | None = None
    if gated_at(whole, net):
        gate = gate_of(ran, net, found, period)
        amps = into_net(ran, net)[1] if gate else amps
    parts = switches(stage, net, ran, period)
    return Trace(ran.times, volts, amps, found, gate, parts, ran.settled, ran.periods)


def _undriven(stage: Stage, drive: Drive) -> Iterator[str]:
    for one in drive.inputs:
        if one.net in stage.unplugged:
            yield f"{one.net} is unplugged: nothing drives it"


def _taken(stage: Stage, net: str) -> Iterator[str]:
    """Yield what was assumed of the parts at a gate."""
    for part in gated_at(stage, net):
        if not part.fitted:
            continue
        charge = gate_charge(part)
        if charge.odd:
            yield (
                f"{part.ref}: qg is less than its input capacitance takes in alone; "
                "taken from the capacitance"
            )
        elif not charge.written:
            yield (
                f"{part.ref}: no qg written, {charge.coulombs * 1e9:.3g} nC at "
                f"{charge.volts:g} V taken, the usual for its size"
            )
    if any(part.kind.word == "winding" for part in stage.parts):
        yield "windings are not coupled here: what goes through a transformer is not seen"


def _doubts(
    stage: Stage, whole: Stage, net: str, condition: Condition
) -> Iterator[str]:
    """Yield capacitances at a gate that look a thousand times too large or small."""
    gates = gated_at(whole, net)
    if not gates:
        return
    own = max(_input_farads(part) for part in gates)
    added = {change.part.ref for change in condition.changes if isinstance(change, Add)}
    for part in stage.parts:
        farads = _across(part, net)
        line = f" (line {part.written[0]})" if part.written else ""
        if farads > LARGE * own:
            meant = farads / THOUSAND
            yield (
                f"{part.ref}{line} holds {_farads(farads)} at the gate {net}, where "
                f"{gates[0].ref} has {_farads(own)}: {_farads(meant)} meant?"
            )
        elif part.ref in added and 0 < farads < SMALL * own:
            meant = farads * THOUSAND
            yield (
                f"{part.ref} of {_farads(farads)} stands in for nothing, where "
                f"{gates[0].ref} has {_farads(own)}: {_farads(meant)} meant?"
            )


def _input_farads(part: Part) -> float:
    return part.quantity("cies" if part.has("cies") else "ciss").typical or 0.0


def _across(part: Part, net: str) -> float:
    """Return what a capacitor has at a net, 0 for another part."""
    if job_of(part) in GATED or not part.fitted:
        return 0.0
    here = (
        one.farads.typical or 0.0
        for one in part.kind.cold(part)
        if isinstance(one, Store)
        and net in {part.pins.get(one.a), part.pins.get(one.b)}
    )
    return max(here, default=0.0)


def _farads(value: float) -> str:
    return show(value, "F")
