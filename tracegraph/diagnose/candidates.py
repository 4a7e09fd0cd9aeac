"""Readings worth taking, and what each costs."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from tracegraph.diagnose.priors import Priors
from tracegraph.diagnose.rig import Asked
from tracegraph.meter.instrument import show
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import compile_stage
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

MOST = 160  # readings weighed
ODD_PLACE = 0.3  # what points cost that lie neither across a part nor at a reference

Pair = tuple[str, str]


def candidates(stage: Stage, traced: Stage, profile: Profile) -> list[Asked]:
    """Return the readings that may tell something, parts' own pins first.

    Where a junction carries the current a diode test tells more than ohms, which then
    depend on the meter, and show leaks only; where none does the ohms say it all.

    Args:
        stage: The section as it stands, with what is unknown of it filled in.
        traced: The same without: a probe stands only on what was traced.
        profile: The meter.
    """
    real = traced.nets.keys()
    pairs = [one for one in dict.fromkeys(_pairs(stage)) if real >= set(one)]
    volts = _bent(stage, pairs, Mode.DIODE, profile)
    ohms = _bent(stage, pairs, Mode.OHMS, profile)
    found: list[Asked] = []
    for (a, b), by_volts, by_ohms in zip(pairs, volts, ohms, strict=True):
        if by_volts:
            found += [(a, b, Mode.DIODE), (b, a, Mode.DIODE)]
        if profile.ohms and (not by_ohms or is_easy(traced, (a, b))):
            found.append((a, b, Mode.OHMS))
        if len(found) >= MOST:
            break
    return found


def _pairs(stage: Stage) -> Iterator[Pair]:
    """Yield pairs of nets: across parts, to the references, then all others."""
    for part in stage.parts:
        if part.fitted:
            for a, b in combinations(dict.fromkeys(part.pins.values()), 2):
                yield _ordered(a, b)
    for net in stage.nets:
        for other in stage.references:
            if net != other:
                yield _ordered(net, other)
    for a, b in combinations(stage.nets, 2):
        yield _ordered(a, b)


def _ordered(a: str, b: str) -> Pair:
    return (a, b) if a < b else (b, a)


def _bent(
    stage: Stage, pairs: Sequence[Pair], mode: Mode, profile: Profile
) -> list[bool]:
    """Return where a junction decides the reading, or it is OL, either way round.

    A meter without the mode has it decided nowhere in volts, everywhere in ohms.
    """
    if not pairs or not profile.scales(mode):
        return [mode is Mode.OHMS] * len(pairs)
    circuit = compile_stage(stage)
    nodes = np.array([[circuit.nodes[a], circuit.nodes[b]] for a, b in pairs])
    found = np.zeros(len(pairs), np.bool_)
    for way in (nodes, nodes[:, ::-1]):
        shown = show(circuit, way, mode, profile)
        found |= shown.bent
        if mode is Mode.DIODE:
            found |= np.isinf(shown.values)
    return [bool(one) for one in found]


def cost_of(stage: Stage, priors: Priors, asked: Asked, last: Mode | None) -> float:
    """Return what a reading costs, in plain probes.

    Args:
        stage: The section as traced.
        priors: The table of costs.
        asked: The reading.
        last: What the meter is set to, if that is known.
    """
    cost = priors.figure("cost.probe")
    if last not in {None, asked[2]}:
        cost += priors.figure("cost.mode")
    return cost if is_easy(stage, asked[:2]) else cost + ODD_PLACE


def is_easy(stage: Stage, pair: Pair) -> bool:
    """Return whether points are easily found: across a part, or at a reference."""
    ends = set(pair)
    return bool(ends & set(stage.references)) or any(
        ends <= set(part.pins.values()) for part in stage.parts if part.fitted
    )
