"""Free room on a sheet: what is taken, and the first place where a text fits."""

from collections.abc import Iterable

from tracegraph.draw.shapes import Box

CELL = 8
"""Units of a square of the index."""


class Room:
    """What is taken on a sheet, found quickly."""

    def __init__(self, taken: Iterable[Box] = (), limits: Box | None = None) -> None:
        """Take boxes as taken; `limits` is what nothing may leave."""
        self._squares: dict[tuple[int, int], list[Box]] = {}
        self._limits = limits
        for box in taken:
            self.take(box)

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        for square in _squares(box):
            self._squares.setdefault(square, []).append(box)

    def free(self, box: Box) -> bool:
        """Return whether nothing is taken inside a box."""
        limits = self._limits
        if limits and (
            box.left < limits.left
            or box.top < limits.top
            or box.right > limits.right
            or box.bottom > limits.bottom
        ):
            return False
        return not any(
            other.meets(box)
            for square in _squares(box)
            for other in self._squares.get(square, ())
        )


def _squares(box: Box) -> list[tuple[int, int]]:
    lefts = range(int(box.left // CELL), int(box.right // CELL) + 1)
    tops = range(int(box.top // CELL), int(box.bottom // CELL) + 1)
    return [(x, y) for x in lefts for y in tops]
