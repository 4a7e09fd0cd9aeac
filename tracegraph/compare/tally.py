"""What it costs to come from one grouping of pins into nets to another.

Every matched pin stands on a net of the reference and on a net of the traced section;
the pins with the same two nets are a chunk. Of each reference net one chunk stays at
home, each traced net has one chunk that hosts the others. A chunk that is not at home
is broken off (one step), a chunk that is no host is joined (one step); a single pin
that would need both is moved (one step). Which chunks are home and host is chosen so
that as many single pins as possible move: a matching problem, solved exactly.
"""

from collections.abc import Iterable

from tracegraph.compare.anchors import Pairs

HEAVY = 1000
"""What an anchor weighs: it is never moved."""

Chunk = tuple[str, str]


class Tally:
    """The chunks of a match in the making, and their cost, kept while pins come and go."""

    def __init__(self, anchored: Pairs, *, joins: bool = True) -> None:
        """Begin with the anchors; without `joins` every pin off its net is moved."""
        self.rows: dict[str, dict[str, int]] = {}
        self.columns: dict[str, dict[str, int]] = {}
        self._mixed_rows: dict[str, dict[str, int]] = {}
        self._mixed_columns: dict[str, dict[str, int]] = {}
        self._cost = _joining if joins else _moving
        for pair in anchored:
            self.add([pair], HEAVY)

    def add(self, nets: Iterable[Chunk], weight: int = 1) -> None:
        """Put pins on their chunks."""
        for a, b in nets:
            row, column = self.rows.setdefault(a, {}), self.columns.setdefault(b, {})
            row[b] = column[a] = row.get(b, 0) + weight
            if len(row) > 1:
                self._mixed_rows[a] = row
            if len(column) > 1:
                self._mixed_columns[b] = column

    def remove(self, nets: Iterable[Chunk]) -> None:
        """Take pins off their chunks."""
        for a, b in nets:
            row, column = self.rows[a], self.columns[b]
            row[b] = column[a] = row[b] - 1
            if not row[b]:
                del row[b], column[a]
                if len(row) < 2:
                    self._mixed_rows.pop(a, None)
                if len(column) < 2:
                    self._mixed_columns.pop(b, None)

    def steps(self) -> int:
        """Return the least number of steps that explains the chunks."""
        return self._cost(self.mixed())

    def mixed(self) -> dict[Chunk, int]:
        """Return the chunks of nets that are not simply one net each side."""
        rows, columns = self._mixed_rows.items(), self._mixed_columns.items()
        found = {(a, b): weight for a, row in rows for b, weight in row.items()}
        for b, column in columns:
            for a, weight in column.items():
                found[a, b] = weight
        return found


def _joining(chunks: dict[Chunk, int]) -> int:
    if not chunks:
        return 0
    loose = loose_nets(chunks)
    rows, columns = ({one[side] for one in chunks} for side in (0, 1))
    single = sum(weight == 1 for weight in chunks.values())
    stuck = len(loose[0]) + len(loose[1]) - len(paired(chunks, loose))
    return 2 * len(chunks) - len(rows) - len(columns) - (single - stuck)


def loose_nets(chunks: dict[Chunk, int]) -> tuple[list[str], list[str]]:
    """Return the nets of either side that have single pins only."""
    found: tuple[list[str], list[str]] = ([], [])
    for side, nets in enumerate(found):
        heavy = {one[side] for one, weight in chunks.items() if weight > 1}
        nets += [
            net for net in dict.fromkeys(c[side] for c in chunks) if net not in heavy
        ]
    return found


def paired(
    chunks: dict[Chunk, int], loose: tuple[list[str], list[str]]
) -> dict[str, str]:
    """Return most single chunks that are home and host at once: traced to reference."""
    ends = set(loose[1])
    choices = {a: [b for one, b in chunks if one == a and b in ends] for a in loose[0]}
    host: dict[str, str] = {}

    def placed(a: str, seen: set[str]) -> bool:
        for b in choices[a]:
            if b not in seen:
                seen.add(b)
                if b not in host or placed(host[b], seen):
                    host[b] = a
                    return True
        return False

    for a in loose[0]:
        placed(a, set())
    return host


def _moving(chunks: dict[Chunk, int]) -> int:
    """Return the pins that do not go with the best one-to-one pairing of nets."""
    rows = list(dict.fromkeys(a for a, _ in chunks))
    return sum(chunks.values()) - _most_kept(chunks, rows, frozenset())


def _most_kept(chunks: dict[Chunk, int], rows: list[str], taken: frozenset[str]) -> int:
    if not rows:
        return 0
    first, *rest = rows
    best = _most_kept(chunks, rest, taken)
    for (a, b), weight in chunks.items():
        if a == first and b not in taken:
            kept = weight + _most_kept(chunks, rest, taken | {b})
            best = max(best, kept)
    return best
