"""What the display shows: solved networks seen through a meter's scales."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.dense import solve_items
from tracegraph.network.device import law
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.ports import solve_prepared
from tracegraph.network.skeleton import skeleton
from tracegraph.stage.reading import Mode

Bools = NDArray[np.bool_]

THROUGH = 0.01  # share of the current from which a junction decides an ohms reading


class Displayed(NamedTuple):
    """Displays of one mode, one row a reading.

    Attributes:
        values: Display in SI units: ohms (also for a beep) or volts; infinite for OL,
            NaN where no answer was found.
        scale: Index of the scale that the meter settles on.
        amps: What the meter delivers there.
        bent: Whether a junction carries enough of the current to decide the reading.
        residual: Worst Kirchhoff residual in amperes.
    """

    values: Floats
    scale: Ints
    bent: Bools
    residual: Floats


def show(
    circuit: Circuit,
    pairs: Ints,
    mode: Mode,
    profile: Profile,
    values: Floats | None = None,
) -> Displayed:
    """Return what the meter shows for each pair once it rests.

    Auto-range: the lowest scale whose full scale holds the reading is the one that
    the meter settles on; above the highest it shows OL.

    Args:
        circuit: The section.
        pairs: Node indices of red and black, (readings, 2).
        mode: OHMS, DIODE, BEEP, or VOLTS of a section compiled live.
        profile: The meter; it must have this mode.
        values: Parameters, one vector a reading; else the circuit's own.
    """
    scales = profile.scales(mode)
    last = len(scales) - 1
    count = len(pairs)
    found = Displayed(
        np.full(count, np.inf),
        np.full(count, last),
        np.zeros(count, bool),
        np.zeros(count),
    )
    left = np.arange(count)
    plus = polarised(pairs, mode, profile)
    solve = _solver(circuit, plus, values)
    for index, one in enumerate(scales):
        solved = solve(left, one.drive)
        seen = seen_through(solved, mode, profile)
        over = np.abs(seen) > one.full
        rests = ~over | (index == last)
        here = left[rests]
        found.values[here] = np.where(over, np.inf, seen)[rests]
        found.scale[here], found.residual[here] = index, solved.residual[rests]
        own = circuit.values if values is None else values[left]
        found.bent[here] = _bent(circuit, solved, own)[rests]
        left = left[~rests]
        if not left.size:
            break
    return found


def seen_through(solved: Solution, mode: Mode, profile: Profile) -> Floats:
    """Return the displays of solved readings: infinite for OL, NaN for no answer."""
    seen = displayed(solved.volts, solved.amps, mode, profile)
    return np.where(solved.converged, np.where(solved.open, np.inf, seen), np.nan)


def _solver(
    circuit: Circuit, pairs: Ints, values: Floats | None
) -> Callable[[Ints, Drive], Solution]:
    """Return the way to solve some of the readings with a source."""
    if values is None:
        prepared = skeleton(circuit)
        return lambda rows, drive: solve_prepared(prepared, pairs[rows], drive)
    return lambda rows, drive: solve_items(circuit, pairs[rows], drive, values[rows])[0]


def _bent(circuit: Circuit, solved: Solution, values: Floats) -> Bools:
    """Return where a junction carries more than a hundredth of the meter's current."""
    count = circuit.counts["Junction"] + 2 * circuit.counts["Transistor"]
    carried = np.abs(law(circuit, values, solved.ports).amps[:, :count])
    most = carried.max(axis=1, initial=0.0)
    return np.asarray(most > THROUGH * np.abs(solved.amps))


def polarised(pairs: Ints, mode: Mode, profile: Profile) -> Ints:
    """Return the pairs as (plus, minus): needle meters turn round in ohms."""
    turned = not profile.red_plus and mode in {Mode.OHMS, Mode.BEEP}
    return pairs[:, ::-1] if turned else pairs


def displayed(volts: Floats, amps: Floats, mode: Mode, profile: Profile) -> Floats:
    """Return the display for a voltage at the probe tips and the current through them."""
    if mode is Mode.VOLTS:
        return volts
    if mode is Mode.DIODE:
        return np.asarray(volts + amps * profile.leads)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.where(amps > 0, volts / amps, np.inf) + profile.leads


def slope(volts: Floats, amps: Floats, mode: Mode, scale: Scale) -> Floats:
    """Return d(display) / d(volts at the probe tips), the source's limits included."""
    steer = scale.drive.current(volts)[1]
    if mode in {Mode.DIODE, Mode.VOLTS}:
        return np.ones_like(volts)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.asarray((amps - volts * steer) / amps**2)
