"""Why a reading is what it is, in the trade's words, from the currents themselves."""

from math import isinf
from typing import NamedTuple

import numpy as np

from tracegraph.meter.carriers import Carrier, carriers, legs, named
from tracegraph.meter.instrument import polarised
from tracegraph.meter.path import fold, spoken, words_of
from tracegraph.meter.unknowns.table import Table, nodes_of
from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.dense import solve_items
from tracegraph.stage.branch import Channel, Junction, Transistor
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

CARRIES = (0.02, 0.05, 0.1, 0.2, 0.4)  # shares from which a part is named
READABLE = 6  # parts that a sentence may name
STEERS = 0.3  # share of a base current from which a part is said to turn it on
BLOCKS = 0.3  # share of the voltage from which a junction is said to block


class Reason(NamedTuple):
    """Why a reading is what it is.

    Attributes:
        words: One sentence without a full stop.
        parts: Designators that carry the current, the most important first.
        junctions: Those that carry it through a junction.
        remark: What to do first, where a gate floats across the probes.
    """

    words: str
    parts: tuple[str, ...] = ()
    junctions: tuple[str, ...] = ()
    remark: str = ""


class _Solved(NamedTuple):
    """One solved reading of the usual board."""

    stage: Stage
    circuit: Circuit
    nodes: Floats
    amps: float
    red: int
    black: int


def reasons(stage: Stage, table: Table) -> tuple[Reason, ...]:
    """Return why each pair shows what it does on the usual board."""
    circuit, shown = table.usual.board.circuit, table.usual.shown
    plus = polarised(nodes_of(circuit, table.pairs), table.mode, table.profile)
    found: dict[int, Reason] = {}
    for index, scale in enumerate(table.profile.scales(table.mode)):
        rows = np.flatnonzero(shown.scale == index)
        if not rows.size:
            continue
        solution, nodes = solve_items(circuit, plus[rows], scale.drive)
        for at, row in enumerate(rows):
            red, black = (int(node) for node in plus[row])
            solved = _Solved(
                stage, circuit, nodes[at], float(solution.amps[at]), red, black
            )
            reason = _why(solved, table, int(row), joined=not solution.open[at])
            found[int(row)] = reason._replace(remark=_floating_gate(solved))
    return tuple(found[row] for row in range(len(table.pairs)))


def _floating_gate(solved: _Solved) -> str:
    """Say what to do about a gate without a path, on a FET across the probes.

    Its voltage is whatever charge was left on it; it is taken as empty.
    """
    circuit = solved.circuit
    tied = set(circuit.ends["Conductor"].flat)
    for placed, ends, _ in legs(circuit, solved.nodes):
        across = {solved.red, solved.black} == set(ends[1:])
        if isinstance(placed.branch, Channel) and across and ends[0] not in tied:
            owner = placed.owner
            return (
                f"the gate of {owner} floats and may hold a charge: "
                f"join gate and {_source_leg(solved.stage, owner)} of {owner} first"
            )
    return ""


def _source_leg(stage: Stage, owner: str) -> str:
    part = stage.part(owner)
    return "emitter" if part and "e" in part.pins else "source"


def _why(solved: _Solved, table: Table, row: int, *, joined: bool) -> Reason:
    if solved.red == solved.black:
        return _same_net(solved)
    if table.mode is Mode.CAP:
        return _stores(solved, spoilt=isinf(table.values[0, row]))
    if not joined:
        return Reason("nothing traced leads from one to the other")
    if not np.isfinite(solved.nodes).all():
        return Reason("no steady reading found", _owners_near(solved))
    over = isinf(table.values[0, row])
    return _blocked(solved) if over else _carried(solved)


def _owners_near(solved: _Solved) -> tuple[str, ...]:
    """Return the parts on either net, for a reading that was not solved."""
    probes = {solved.red, solved.black}
    near = [
        placed.owner
        for placed, nodes, _ in legs(solved.circuit, np.zeros(solved.circuit.size))
        if probes & set(nodes)
    ]
    return tuple(dict.fromkeys(near))


def _owners(found: list[Carrier]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.owner for one in found))


def _same_net(solved: _Solved) -> Reason:
    """Say what joins two nets that are one piece of copper."""
    nodes = solved.circuit.nodes
    joining = tuple(
        part.ref
        for part in solved.stage.parts
        if part.fitted
        and len(set(part.pins.values())) > 1
        and {nodes.get(net) for net in part.pins.values()} == {solved.red}
    )
    words = f"joined by {' and '.join(joining)}" if joining else "one and the same net"
    return Reason(words, joining)


def _stores(solved: _Solved, *, spoilt: bool) -> Reason:
    """Name the capacitors directly across the probes."""
    ends = {solved.red, solved.black}
    across = [
        placed.owner
        for placed, nodes, _ in legs(solved.circuit, solved.nodes)
        if type(placed.branch).__name__ == "Store" and set(nodes) == ends
    ]
    if not across:
        return Reason(
            "no capacitor lies across; what is seen comes through other parts"
        )
    parts = tuple(dict.fromkeys(across))
    words = " and ".join(parts)
    if spoilt:
        words = f"what lies beside {words} carries more than the capacitance does"
    return Reason(words, parts)


def _carried(solved: _Solved) -> Reason:
    """Say by which way the current goes, and what turns a transistor on."""
    found, words = _way(solved)
    feeders = [part for one in found if one.base for part in _feeders(solved, one)]
    if feeders:
        words += f", turned on through {' and '.join(dict.fromkeys(feeders))}"
    junctions = _owners([one for one in found if one.junction])
    return Reason(words, _owners(found), junctions)


def _way(solved: _Solved) -> tuple[list[Carrier], str]:
    """Return what carries the current, and its way in words that can be read.

    Where many parts share it, only those with a larger share are named.
    """
    for share in CARRIES:
        found = carriers(solved.stage, solved.circuit, solved.nodes, solved.amps, share)
        way = fold((one.edge for one in found), solved.red, solved.black)
        if way and len(words_of(way)) <= READABLE:
            text = spoken(way)
            return found, text if share == CARRIES[0] else f"mostly {text}"
    first = carriers(
        solved.stage, solved.circuit, solved.nodes, solved.amps, CARRIES[0]
    )
    return first, f"many ways, most of it in {' and '.join(_owners(first)[:3])}"


def _feeders(solved: _Solved, carrier: Carrier) -> list[str]:
    """Return the parts through which the base current of a transistor comes."""
    if carrier.base is None:
        return []
    base, amps = carrier.base
    return [
        named(solved.stage, placed)
        for placed, nodes, flows in legs(solved.circuit, solved.nodes)
        if placed.owner != carrier.owner
        and base in nodes
        and abs(flows[nodes.index(base)]) > STEERS * abs(amps) > 0
    ][:2]


def _blocked(solved: _Solved) -> Reason:
    """Say what stands in the way of a reading that shows OL."""
    found, words = _way(solved)
    if found and not any(one.junction for one in found):
        return Reason(f"{words}: more than this range shows", _owners(found))
    total = abs(float(solved.nodes[solved.red] - solved.nodes[solved.black]))
    back, forward = _barriers(solved, BLOCKS * total)
    if back:
        return Reason(f"{' and '.join(back[:3])} block{'s' if len(back) == 1 else ''}")
    if forward:
        return Reason(f"{' + '.join(forward[:4])}: more than the test voltage")
    return Reason("only leakage leads from one to the other")


def _barriers(solved: _Solved, limit: float) -> tuple[list[str], list[str]]:
    """Return the junctions that hold the voltage off: those reversed, those forward."""
    back: list[str] = []
    forward: list[str] = []
    for placed, ends, _ in legs(solved.circuit, solved.nodes):
        branch = placed.branch
        volts = solved.nodes[ends]
        if isinstance(branch, Junction):
            across = [(volts[0] - volts[1], named(solved.stage, placed))]
        elif isinstance(branch, Transistor):
            across = [
                (
                    branch.polarity * (volts[0] - volts[k]),
                    f"the base-{leg} junction of {placed.owner}",
                )
                for k, leg in ((2, "emitter"), (1, "collector"))
            ]
        elif isinstance(branch, Channel):
            across = [(-abs(volts[1] - volts[2]), placed.owner)]
        else:
            continue
        back += [name for drop, name in across if drop < -limit]
        forward += [name for drop, name in across if drop > limit]
    return list(dict.fromkeys(back)), list(dict.fromkeys(forward))
