"""Which readings a capacitor may hold up, without running them."""

from dataclasses import replace

import numpy as np

from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.device import BLOCKED
from tracegraph.network.drive import Drive
from tracegraph.network.newton import Truths
from tracegraph.network.place import Placed
from tracegraph.network.ports import solve_pairs
from tracegraph.network.system import System, lines, system
from tracegraph.quantity import exact
from tracegraph.stage.branch import Conductor, Store

SOON = 0.1  # seconds: an eye takes this for at once
FOLDS = 7.0  # time constants after which a thousandth is left
SEEN = 2e-3  # part of the meter's current that a display's last digits show
LOOKS = (0.05, 0.5, 5.0, 50.0)  # seconds
SAME = 2e-3  # part of a display that nobody sees move
LEAST_FARADS = 1e-18
ANY_OHMS = exact(1.0, "ohm")  # overwritten
RESTS_AMPS = 0.05  # part of the meter's current below which the display is OL anyway


def slow(circuit: Circuit, pairs: Ints, drive: Drive) -> Truths:
    """Return which readings may still move a tenth of a second after touching.

    Where `held_up` leaves a doubt, the reading is looked at with every capacitor as
    the resistance that it is in one implicit step from empty. Such a step lags behind
    the true course: what looks settled in all of them is.
    """
    found = held_up(circuit, pairs, drive)
    rows = np.flatnonzero(found)
    if rows.size:
        rest = solve_pairs(circuit, pairs[rows], drive)
        moving = np.zeros(rows.size, np.bool_)
        for seconds in LOOKS:
            seen = solve_pairs(one_step(circuit, seconds), pairs[rows], drive)
            moving |= ~_near(seen.volts, rest.volts, 1e-3 * abs(drive.volts))
            moving |= ~_near(seen.amps, rest.amps, RESTS_AMPS * abs(drive.amps))
        found[rows] = moving
    return found


def _near(seen: Floats, rest: Floats, least: float) -> Truths:
    return np.asarray(np.abs(seen - rest) <= SAME * np.maximum(np.abs(rest), least))


def one_step(circuit: Circuit, seconds: float) -> Circuit:
    """Return the circuit one implicit step after touching, its capacitors found empty.

    In such a step a capacitor is a resistance of `seconds / farads`; all else is as it
    was. What is seen then lags behind the true course, and tells it roughly.
    """
    placed: list[Placed] = []
    for one, name, row in circuit.by_class():
        nets = tuple(str(node) for node in circuit.ends[name][row])
        branch = one.branch
        if isinstance(branch, Store):
            branch = Conductor(branch.a, branch.b, ANY_OHMS)
        placed.append(Placed(one.owner, branch, nets))
    compiled = compile_placed(placed, [str(node) for node in range(circuit.size)])
    values = compiled.values.copy()
    for name, where in compiled.columns.items():
        if not name.startswith("Store"):
            values[where] = _column(circuit, name, seconds)
    return replace(compiled, values=values, low=values, high=values)


def _column(circuit: Circuit, name: str, seconds: float) -> Floats:
    """Return a column of the circuit's own values; capacitors follow the conductors."""
    if name != "Conductor.ohms":
        return circuit.column(name)
    farads = circuit.column("Store.farads")
    ohms = (
        seconds / np.maximum(farads, LEAST_FARADS) + circuit.fixed["Store.series_ohms"]
    )
    return np.concatenate([circuit.column(name), ohms])


def held_up(circuit: Circuit, pairs: Ints, drive: Drive) -> Truths:
    """Return which readings no bound tells to be over in a tenth of a second.

    A capacitor is out of the way where one of two bounds holds. Its time constant,
    through resistors only and with the meter across the probes, is short: junctions
    that conduct only make it shorter. Or it is small: a current that only falls and
    carries no more than farads times the meter's volts is, after `t` seconds, below
    that over `t`; transistors may multiply it. The sum of all time constants is not
    below the slowest of the section. Capacitors are found empty.
    """
    stores = circuit.ends["Store"]
    equations = system(circuit, stores=True)
    component = equations.tree.component
    farads = circuit.column("Store.farads")
    gain = 1 + circuit.column("Transistor.gain").max(initial=0.0)
    full = farads * abs(drive.volts) * gain / SOON
    with np.errstate(divide="ignore", invalid="ignore"):
        by_charge = np.nan_to_num(full / (SEEN * abs(drive.amps)), posinf=np.inf)
    by_time = FOLDS / SOON * farads * _ohms(circuit, pairs, drive)
    here = component[pairs[:, :1]] == component[stores[:, 0]]
    held = np.where(here, np.minimum(by_time, by_charge), 0.0)
    return np.asarray((held.sum(axis=1) > 1.0) & (pairs[:, 0] != pairs[:, 1]))


def _ohms(circuit: Circuit, pairs: Ints, drive: Drive) -> Floats:
    """Return what every capacitor sees, junctions blocked, (items, stores)."""
    equations = system(circuit)
    ends, tree = circuit.ends["Store"], equations.tree
    impedance = _impedance(equations)
    tied = tree.joined(ends)
    stores = tree.paths(ends) * tied[:, None]
    own = np.where(
        tied, np.einsum("si,ij,sj->s", stores, impedance, stores), 1 / BLOCKED
    )
    probes = tree.paths(pairs) * tree.joined(pairs)[:, None]
    across = np.einsum("ni,ij,nj->n", probes, impedance, probes)
    shared = probes @ impedance @ stores.T
    return np.asarray(own - shared**2 / (across + drive.ohms)[:, None])


def _impedance(equations: System) -> Floats:
    """Return the inverse of the section's matrix with every junction blocked."""
    ports = equations.port_paths
    straight = equations.straight(lines(equations.circuit))
    table = straight + BLOCKED * ports.T @ ports
    scale = 1 / np.sqrt(np.diagonal(table))
    scaled = scale[:, None] * table * scale
    return np.asarray(scale[:, None] * np.linalg.inv(scaled) * scale)
