"""The plain way to a reading: Newton's method on all nets, dense, one at a time.

The same device models, ranges, limiting and stopping rule as the product's, a cold
start, and nothing kept from one reading to the next but the section's own matrices.
"""

from typing import NamedTuple

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.curves import Knees, knees
from tracegraph.network.device import Pattern, law, pattern
from tracegraph.network.drive import Drive, trusted
from tracegraph.network.linear import islands, laplacian

ROUNDS = 60
STEP = 1e-6  # volts, as in the product
BELOW = 4.0  # folds under a knee at which a port begins to bend
LEAST_LEFT = 2e-3  # share of its current that a port keeps in one step down
SLACK = 0.2  # volts beyond the meter's own
PATIENCE, SWING, GROWTH = 2, 0.1, 1.1  # of ports that swing to and fro


class Nets(NamedTuple):
    """A section by its nets.

    Attributes:
        circuit: The section.
        straight: Conductances between nets.
        incidence: Current into nets of the ports' currents, (nets, ports).
        group: Which nets any path joins.
        places: Where the ports' slopes are not zero.
    """

    circuit: Circuit
    straight: Floats
    incidence: Floats
    group: Ints
    places: Pattern


def by_nets(circuit: Circuit) -> Nets:
    """Return a section's matrices."""
    ends, ports = circuit.ends["Conductor"], circuit.ports
    siemens = 1 / circuit.column("Conductor.ohms")
    incidence = np.zeros((circuit.size, len(ports)))
    own = np.arange(len(ports))
    np.add.at(incidence, (ports[:, 0], own), 1.0)
    np.add.at(incidence, (ports[:, 1], own), -1.0)
    group = np.array(islands(circuit.size, np.concatenate([ends, ports])), np.intp)
    straight = laplacian(circuit.size, ends, siemens)
    return Nets(circuit, straight, incidence, group, pattern(circuit))


def reading(section: Nets, red: int, black: int, drive: Drive) -> float | None:
    """Return the voltage across the probes, or None where Newton's method fails."""
    circuit, straight, incidence, group, _ = section
    if group[red] != group[black]:
        return drive.volts
    knee = Knees(*(side[:, 0] for side in knees(circuit, drive.amps)))
    held = np.flatnonzero(group == group[red])  # nothing moves in other groups
    held = held[held != black]
    volts, ports = np.zeros(circuit.size), np.zeros(incidence.shape[1])
    across, moved = 0.0, np.zeros_like(ports)
    bound = np.full_like(ports, np.inf)
    for turn in range(ROUNDS):
        flow = law(circuit, circuit.values, ports)
        amps, slope = drive.current(np.array(across))
        bent = _slopes(section, flow.slopes)
        table = straight + incidence @ bent @ incidence.T
        table[red, red] -= slope
        right = incidence @ (bent @ ports - flow.amps)
        right[red] += amps - slope * across
        excess = straight @ volts + incidence @ flow.amps
        excess[red] -= amps
        small = bool(trusted(np.abs(excess[held]).max(), drive))
        volts[held] = np.linalg.solve(table[np.ix_(held, held)], right[held])
        wanted = volts @ incidence
        step = max(np.abs(wanted - ports).max(initial=0.0), abs(volts[red] - across))
        if small and step <= STEP:
            return float(volts[red])
        change = _limited(knee, wanted, ports, abs(drive.volts) + SLACK) - ports
        if turn >= PATIENCE:
            last = np.abs(moved)
            swings = (change * moved < 0) & (2 * np.abs(change) > last) & (last > SWING)
            bound = np.where(swings, np.maximum(last / 2, SWING), GROWTH * bound)
        moved = np.clip(change, -bound, bound)
        ports = ports + moved
        across = float(min(volts[red], across + 0.5, drive.volts + 0.1))
    return None


def _slopes(section: Nets, slopes: Floats) -> Floats:
    """Return the ports' slopes as a matrix."""
    count = section.incidence.shape[1]
    bent = np.zeros((count, count))
    bent[section.places.rows, section.places.columns] = slopes
    return bent


def _limited(knee: Knees, wanted: Floats, before: Floats, most: float) -> Floats:
    """Return port voltages that go along their exponentials in current."""
    ahead = _along(knee.high, knee.fold, wanted, before)
    back = -_along(knee.low, knee.low_fold, -wanted, -before)
    volts = np.where(wanted > 0, ahead, back)
    return np.asarray(np.clip(volts, -most, most))


def _along(knee: Floats, fold: Floats, wanted: Floats, before: Floats) -> Floats:
    begin = knee - BELOW * fold
    up = np.maximum(wanted - np.maximum(before, begin), 0.0)
    risen = wanted - up + fold * np.log1p(up / fold)
    on = np.where(before < begin, begin, risen)
    step = np.clip((wanted - before) / fold, LEAST_LEFT - 1, 0.0)
    steep = (step < -0.3) & (wanted > before - 1.05 * fold) & (before > fold)
    down = np.where(steep, before + fold * np.log1p(step), wanted)
    return np.where(wanted > before, np.where(wanted > begin, on, wanted), down)
