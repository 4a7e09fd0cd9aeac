"""How healthy boards differ: the independent variables behind the parameters.

Every variable runs evenly from -1 to 1. A parameter goes with its variable from its
low value through its typical one to its high one, straight on either side, by equal
ratios where it spans more than a factor of three. What moves all junctions of a
board together, or all parts of a type, is one variable for all of them.
"""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tracegraph.network.circuit import FIELDS, Circuit, Floats, Ints
from tracegraph.network.quantile import quantile
from tracegraph.stage.branch import Junction, Transistor

__all__ = ["Entry", "Spread", "quantile", "spread_of"]

AMBIENT_DEGREES = 10.0  # 15 to 35 degrees about 25; common practice, no source
DROP_PER_DEGREE = -0.002  # volts; any data sheet's curve of a silicon junction
PART_TO_PART = 0.015  # volts between parts of one type; common practice, no source
MEASURED = "rest"  # family of junctions known from a reading on this very board
WIDE = 3.0  # high over low beyond which equal ratios are equally likely


class Entry(NamedTuple):
    """One parameter's way with one variable.

    Attributes:
        row: Index in the value vector.
        variable: Name of the variable.
        below: How far the parameter falls at -1; as a logarithm where geometric.
        above: How far it rises at 1, likewise.
        geometric: Whether it goes by equal ratios.
    """

    row: int
    variable: str
    below: float
    above: float
    geometric: bool = False


class Spread(NamedTuple):
    """The variables of a section.

    Attributes:
        typical: Value vector with all variables at 0.
        names: The variables: `ambient`, `type npn drop`, `R11 ohms`...
        shared: Whether a variable is common to parts on the board.
        rows: Parameter of every entry.
        columns: Variable of every entry.
        below: Reach of every entry at -1.
        above: Reach of every entry at 1.
        geometric: Whether an entry goes by equal ratios.
    """

    typical: Floats
    names: tuple[str, ...]
    shared: NDArray[np.bool_]
    rows: Ints
    columns: Ints
    below: Floats
    above: Floats
    geometric: NDArray[np.bool_]

    def values(self, draws: Floats) -> Floats:
        """Return the value vectors, (boards, parameters), of draws of the variables."""
        draws = np.atleast_2d(draws)[:, self.columns]
        gone = draws * np.where(draws < 0, self.below, self.above)
        start = self.typical[self.rows]
        gone = np.where(
            self.geometric, start * np.expm1(np.where(self.geometric, gone, 0.0)), gone
        )
        values = np.repeat(self.typical[:, None], len(draws), axis=1)
        np.add.at(values, self.rows, gone.T)
        return np.asarray(values.T)

    def slopes(self) -> tuple[Floats, Floats]:
        """Return the parameters' slopes by the variables at 0: below it, above it.

        Returns:
            Two tables, (parameters, variables).
        """
        scale = np.where(self.geometric, self.typical[self.rows], 1.0)
        tables = np.zeros((2, len(self.typical), len(self.names)))
        for table, reach in zip(tables, (self.below, self.above), strict=True):
            table[self.rows, self.columns] = scale * reach
        return tables[0], tables[1]

    def draw(self, rng: "np.random.Generator", count: int) -> Floats:
        """Return random boards, (boards, variables)."""
        return rng.uniform(-1.0, 1.0, (count, len(self.names)))


def spread_of(circuit: Circuit) -> Spread:
    """Return the variables of a circuit; what has no tolerance has none."""
    entries = [one for one in _entries(circuit) if one.below or one.above]
    names = tuple(dict.fromkeys(one.variable for one in entries))
    place = {name: index for index, name in enumerate(names)}
    shared = [name == "ambient" or name.startswith("type ") for name in names]
    return Spread(
        circuit.values,
        names,
        np.array(shared, np.bool_),
        np.array([one.row for one in entries], np.intp),
        np.array([place[one.variable] for one in entries], np.intp),
        np.array([one.below for one in entries], float),
        np.array([one.above for one in entries], float),
        np.array([one.geometric for one in entries], np.bool_),
    )


def _entries(circuit: Circuit) -> Iterator[Entry]:
    """Yield every parameter's way with every variable, in the order of the parts."""
    first = 0
    for kind, fields in FIELDS.items():
        count = circuit.counts[kind.__name__]
        group = circuit.placed[first : first + count]
        for field in fields:
            start = circuit.columns[f"{kind.__name__}.{field}"].start
            for row, one in enumerate(group, start):
                own = f"{one.owner} {field} {row - start + first}"
                branch = one.branch
                if isinstance(branch, Junction | Transistor):
                    yield from _bent(circuit, row, field, own, branch.family)
                else:
                    yield _whole(circuit, row, own)
        first += count


def _bent(
    circuit: Circuit, row: int, field: str, own: str, family: str
) -> Iterator[Entry]:
    """Yield the ways of a junction's or transistor's parameter."""
    if field not in {"drop", "slope"}:
        yield _whole(circuit, row, own)
        return
    yield _whole(circuit, row, f"type {family} {field}")
    if field == "drop" and family != MEASURED:
        warmer = DROP_PER_DEGREE * AMBIENT_DEGREES
        yield Entry(row, "ambient", warmer, warmer)
        yield Entry(row, own, PART_TO_PART, PART_TO_PART)


def _whole(circuit: Circuit, row: int, name: str) -> Entry:
    """Return the way of a parameter through its whole interval; endless ends are cut."""
    typical, low, high = circuit.values[row], circuit.low[row], circuit.high[row]
    low, high = (end if np.isfinite(end) else typical for end in (low, high))
    if low > 0 and high / low > WIDE:
        below, above = np.log(typical / low), np.log(high / typical)
        return Entry(row, name, float(below), float(above), geometric=True)
    return Entry(row, name, float(typical - low), float(high - typical))
