"""How a symbol shows its state: another tone, dashed, hollow."""

from tracegraph.draw.shapes import Arc, Fill, Shape, Text, Tone
from tracegraph.draw.symbol import Symbol


def dressed(
    symbol: Symbol, tone: Tone | None = None, *, dashed: bool = False
) -> Symbol:
    """Return a symbol in another tone, or dashed.

    A dashed symbol is hollow as well, so that it differs without colour and in small.

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
    return shape._replace(dashed=True, fill=Fill.PAPER)
