"""The same structure with other numbers: branches switched off, parts of other values.

A section whose unknowns are all in its numbers needs one structure only; every way
that they may fall is a value vector of its own, and all are solved as one batch.
"""

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

import numpy as np

from tracegraph.network.circuit import FIELDS, Circuit, Floats
from tracegraph.network.place import Placed
from tracegraph.network.system import MOST_OHMS
from tracegraph.stage.branch import (
    Branch,
    Channel,
    Conductor,
    Follower,
    Junction,
    Source,
    Store,
    Transistor,
)

OFF_VOLTS = 1e3  # a drop or threshold that no meter reaches
NOTHING = 1e-18  # farads


def retuned(
    circuit: Circuit, off: Iterable[str] = (), tuned: Iterable[Placed] = ()
) -> Circuit:
    """Return the circuit with other values, of the same structure.

    Args:
        circuit: The circuit.
        off: Owners whose branches carry nothing any more.
        tuned: Branches of parts that have other numbers now, in the part's order.
    """
    table = np.stack([circuit.values, circuit.low, circuit.high])
    gone = set(off)
    fresh: dict[str, list[Branch]] = {}
    for one in tuned:
        fresh.setdefault(one.owner, []).append(one.branch)
    for one, _, row in circuit.by_class():
        if one.owner in gone:
            _switch_off(circuit, table, one.branch, row)
        elif one.owner in fresh:
            _tune(circuit, table, _matching(fresh[one.owner], one.branch), row)
    return replace(circuit, values=table[0], low=table[1], high=table[2])


def without(circuit: Circuit, owners: Iterable[str]) -> Circuit:
    """Return the circuit without some owners' branches; nodes and values stay."""
    gone = set(owners)
    columns: dict[str, slice] = {}
    cells: list[int] = []
    rows: dict[str, list[int]] = {}
    first = 0
    for kind in FIELDS:
        name, count = kind.__name__, circuit.counts[kind.__name__]
        group = circuit.placed[first : first + count]
        rows[name] = [k for k, one in enumerate(group) if one.owner not in gone]
        for field in FIELDS[kind]:
            start = circuit.columns[f"{name}.{field}"].start
            columns[f"{name}.{field}"] = slice(len(cells), len(cells) + len(rows[name]))
            cells += [start + row for row in rows[name]]
        first += count
    return replace(
        circuit,
        placed=tuple(one for one in circuit.placed if one.owner not in gone),
        counts=MappingProxyType({name: len(kept) for name, kept in rows.items()}),
        ends=MappingProxyType({n: circuit.ends[n][kept] for n, kept in rows.items()}),
        columns=MappingProxyType(columns),
        values=circuit.values[cells],
        low=circuit.low[cells],
        high=circuit.high[cells],
        fixed=MappingProxyType(
            {n: table[rows[n.partition(".")[0]]] for n, table in circuit.fixed.items()}
        ),
    )


def _matching(branches: list[Branch], like: Branch) -> Branch:
    """Return the next branch of the same class."""
    index = next(k for k, one in enumerate(branches) if type(one) is type(like))
    return branches.pop(index)


def _tune(circuit: Circuit, table: Floats, branch: Branch, row: int) -> None:
    for field in FIELDS[type(branch)]:
        quantity = getattr(branch, field)
        if quantity is not None:
            cell = circuit.columns[f"{type(branch).__name__}.{field}"].start + row
            table[:, cell] = quantity.typical, quantity.low, quantity.high


def _switch_off(circuit: Circuit, table: Floats, branch: Branch, row: int) -> None:
    """Give a branch numbers with which nothing flows."""
    name = type(branch).__name__
    if isinstance(branch, Conductor):
        still = {"ohms": MOST_OHMS}
    elif isinstance(branch, Junction | Transistor):
        still = {"drop": OFF_VOLTS, "leak": 0.0, "breakdown": OFF_VOLTS}
    elif isinstance(branch, Store):
        still = {"farads": NOTHING}
    elif isinstance(branch, Channel):
        still = {"threshold": OFF_VOLTS, "on_ohms": MOST_OHMS}
    elif isinstance(branch, Follower):
        still = {"ohms": MOST_OHMS, "transfer": 0.0}
    else:
        still = {"ohms": MOST_OHMS} if isinstance(branch, Source) else {}
    for field, value in still.items():
        table[:, circuit.columns[f"{name}.{field}"].start + row] = value
