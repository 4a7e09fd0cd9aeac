"""How alike two parts, or two nets, look from where they stand."""

from collections import Counter

from tracegraph.compare.board import Board
from tracegraph.compare.colours import Colours, colours
from tracegraph.compare.likeness import alike
from tracegraph.compare.match import Ground

_NEAR = 1  # the round of colours that knows kind and value


class Sight:
    """What of two boards is alike, before anything is matched."""

    def __init__(self, ground: Ground) -> None:
        """Colour both boards."""
        rows = {a: k for k, (a, _) in enumerate(ground.anchored)}
        columns = {b: k for k, (_, b) in enumerate(ground.anchored)}
        self.old = colours(ground.reference, rows)
        self.new = colours(ground.traced, columns)
        self.lone = _lone(self.old) & _lone(self.new)
        self.around_old = _around(ground.reference, self.old)
        self.around_new = _around(ground.traced, self.new)
        self.alike: dict[tuple[str, str], float] = {}

    def same(self, r: int, t: int) -> bool:
        """Return whether two parts are of one kind and about one value."""
        return self.old[_NEAR][r] == self.new[_NEAR][t]

    def net(self, a: str, b: str) -> float:
        """Return how much alike what hangs on two nets is, from 0 to 1.5."""
        if (a, b) not in self.alike:
            pairs = zip(self.around_old[a], self.around_new[b], strict=True)
            shares = [
                2 * (old & new).total() / (old.total() + new.total())
                for old, new in pairs
            ]
            self.alike[a, b] = shares[0] + shares[1] / 2
        return self.alike[a, b]

    def part(self, r: int, t: int) -> float:
        """Return how far around the two are alike, more if nothing else is."""
        score = 0.0
        for depth, (old, new) in enumerate(zip(self.old, self.new, strict=True)):
            if old[r] != new[t]:
                break
            score = 0.2 * depth + (0.5 if (depth, old[r]) in self.lone else 0.0)
        return score


Around = tuple[Counter[tuple[int, str]], Counter[tuple[int, str]]]


def _around(board: Board, found: Colours) -> dict[str, Around]:
    """Return the pins on every net: by the kind and value of their part, and wider."""
    nets: dict[str, Around] = {}
    for k, piece in enumerate(board.pieces):
        roles = alike(piece.part)
        for pin, net in piece.pins.items():
            near, wide = nets.setdefault(net, (Counter(), Counter()))
            near[found[_NEAR][k], roles[pin]] += 1
            wide[found[_NEAR + 1][k], roles[pin]] += 1
    return nets


def _lone(found: Colours) -> set[tuple[int, int]]:
    return {
        (depth, colour)
        for depth, each in enumerate(found)
        for colour, count in Counter(each.values()).items()
        if count == 1
    }
