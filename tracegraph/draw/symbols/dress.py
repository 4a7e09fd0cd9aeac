"""How a symbol shows its state: another tone, dashed, hollow."""

from math import dist, tau

from tracegraph.draw.shapes import Arc, Circle, Fill, Shape, Stroke, Text, Tone
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.ink import LEAD


def dressed(
    symbol: Symbol, tone: Tone | None = None, *, dashed: bool = False
) -> Symbol:
    """Return a symbol in another tone, or dashed.

    A dashed symbol is hollow as well, so that it differs without colour and in small;
    an arrow's head is too short for dashes and is hollow alone.

    Args:
        symbol: The symbol.
        tone: What all of it is drawn in; each shape keeps its own if None.
        dashed: Whether it is dashed: the part is missing.
    """
    shapes = tuple(_dressed(shape, tone, dashed=dashed) for shape in symbol.shapes)
    return symbol._replace(shapes=shapes)


def _dressed(shape: Shape, tone: Tone | None, *, dashed: bool) -> Shape:
    if tone is not None and shape.tone is not Tone.PAPER:
        shape = shape._replace(tone=tone)
    if not dashed or isinstance(shape, Text):
        return shape
    if isinstance(shape, Arc) or shape.fill is not Fill.INK:
        return shape._replace(dashed=True)
    line = max(shape.width, LEAD)  # an outline now, no edge of a fill
    return shape._replace(dashed=not _small(shape), fill=Fill.PAPER, width=line)


def _small(shape: Stroke | Circle) -> bool:
    """Return whether a shape is no longer than a few dashes, which would spoil it."""
    if isinstance(shape, Circle):
        return shape.radius < SMALL / tau
    return sum(map(dist, shape.points, (*shape.points[1:], shape.points[0]))) < SMALL


SMALL = 2.7
"""Length around an arrow's head or a spot, up to which it stays undashed."""
