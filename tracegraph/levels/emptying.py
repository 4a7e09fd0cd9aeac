"""Who empties a charged gate when a state turns its power device off."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from tracegraph.display import show
from tracegraph.levels.path import Paths
from tracegraph.meter.carriers import legs
from tracegraph.meter.live.standing import Standing
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.stage.branch import Channel, Conductor, Follower, Junction, Transistor

HOLD_OHMS = 1e-3  # behind the gate's own charge
DOWN = 1.0  # volts by which a gate must fall for it to be worth telling
MAIN = 0.5  # share of the gate's current that the first one takes
SMALL = 0.2  # and under which a pull-down only takes the rest
STEPS = 6  # parts along a way


def emptied(before: Standing, found: Standing) -> Iterator[str]:
    """Yield a sentence for every gate that was charged and now is emptied.

    The gate is held where it was, all else as it now is: what flows out of it then
    tells who empties it, and how hard at first.

    Args:
        before: How the section stood.
        found: How it stands.
    """
    for placed in found.circuit.placed:
        branch = placed.branch
        if not isinstance(branch, Channel):
            continue
        gate, _, source = placed.nets
        nodes = found.circuit.nodes
        pair = np.array([[nodes[gate], nodes[source]]])
        was = before.across(gate, source)
        now = found.across(gate, source)
        if branch.polarity * (was - now) < DOWN or pair[0, 0] == pair[0, 1]:
            continue
        drive = Drive(was / HOLD_OHMS, HOLD_OHMS, was)
        solved, levels = solve_items(
            found.circuit, pair, drive, start=found.nodes[None, :]
        )
        if solved.converged[0]:
            flaw = float(solved.residual[0])
            held = replace(found, nodes=levels[0], residual=flaw)
            yield _told(placed.owner, gate, source, held, float(solved.amps[0]))


def _told(device: str, gate: str, source: str, held: Standing, amps: float) -> str:
    """Return who takes the charge, and who takes the rest."""
    paths = Paths(held)
    ways = sorted(paths.ways(gate), key=lambda way: -abs(way[2]))
    direct = [one for one, other, _ in ways if other in {source, *paths.fixed}]
    through, takers = _way(held, paths, gate, abs(amps))
    rest = [one for one in direct if one not in through]
    if not takers:
        by = " and ".join(direct[:2])
        return f"As it turns off, only {by} empties the gate of {device}." if by else ""
    verb = "empty" if takers[1:] else "empties"
    words = f"As it turns off, {' and '.join(takers)} {verb} the gate of {device}"
    words += f" through {' and '.join(through)}" if through else ""
    words += f", {show(abs(amps), 'A', 2)} at first"
    return f"{words}; {rest[0]} takes the rest." if rest else f"{words}."


def _way(
    held: Standing, paths: Paths, gate: str, amps: float
) -> tuple[list[str], list[str]]:
    """Return what most of the gate's current goes through, and the devices at the end.

    Outputs in parallel share it: together they are the end.
    """
    net = gate
    through: list[str] = []
    for _ in range(STEPS):
        takers = _takers(held, net)
        total = sum(takers.values())
        if total >= MAIN * amps:
            return through, [one for one in takers if takers[one] >= SMALL * total]
        step = _largest(held, net, through)
        if step is None or step[1] < MAIN * amps or step[2] in paths.fixed:
            break
        through.append(step[0])
        net = step[2]
    return [], []


def _takers(held: Standing, net: str) -> dict[str, float]:
    """Return what every device that ends the way takes out of a net."""
    found: dict[str, float] = {}
    for placed, _, flows in legs(held.circuit, held.nodes):
        if net in placed.nets and isinstance(placed.branch, Transistor | Follower):
            taken = abs(float(flows[placed.nets.index(net)]))
            found[placed.owner] = max(found.get(placed.owner, 0.0), taken)
    return found


def _largest(
    held: Standing, net: str, known: list[str]
) -> tuple[str, float, str] | None:
    """Return the conductor or diode that takes most out of a net, and its other net."""
    best: tuple[str, float, str] | None = None
    for placed, _, flows in legs(held.circuit, held.nodes):
        straight = isinstance(placed.branch, Conductor | Junction)
        if not straight or net not in placed.nets or placed.owner in known:
            continue
        at = placed.nets.index(net)
        taken = abs(float(flows[at]))
        if best is None or taken > best[1]:
            best = placed.owner, taken, placed.nets[1 - at]
    return best
