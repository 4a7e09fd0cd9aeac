"""What every writer of drawings shares: measures, and shapes that are not stored."""

from collections.abc import Iterator

from tracegraph.draw.drawing import Frame, Sheet, Wire
from tracegraph.draw.shapes import Circle, Fill, Point, Shape, Stroke, Text, Tone

UNIT = 10.0  # pixels, and points of a page, of one grid unit
WIRE = 0.16  # width of a wire, in units
DOT = 0.35  # radius of a junction dot, in units
DASH = (4.0, 3.0)  # drawn and left out, in pixels
HALO = 3.0  # width of the paper around a name on a wire, in pixels
# Half the height of a capital of the shipped font, in em: where the base line lies
# under the middle of a line of text.
HALF_CAPITAL = 1493 / 2048 / 2
FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
FAMILY = "DejaVu Sans, Verdana, sans-serif"  # Verdana is nearly as wide


def base_line(text: Text) -> Point:
    """Return where the base line of a text is tied, in pixels."""
    x, y = text.at
    return x * UNIT, (y + HALF_CAPITAL * text.size) * UNIT


def wire_tone(wire: Wire) -> Tone:
    """Return what a wire is drawn in."""
    return Tone.ABSENT if wire.ghost else Tone.INK


def wire_shapes(wire: Wire) -> Iterator[Shape]:
    """Yield the pieces and dots of a wire."""
    tone = wire_tone(wire)
    for segment in wire.segments:
        yield Stroke(segment, WIRE, tone=tone, dashed=wire.ghost)
    for dot in wire.dots:
        yield Circle(dot, DOT, 0, Fill.INK, tone)


def frame_outline(frame: Frame) -> Stroke:
    """Return the outline of a sister channel."""
    left, top, right, bottom = frame.box
    corners = ((left, top), (right, top), (right, bottom), (left, bottom))
    return Stroke(corners, 0.1, closed=True, tone=Tone.FAINT, dashed=True)


def top_texts(sheet: Sheet) -> Iterator[Text]:
    """Yield the texts that lie over everything but the legend."""
    yield sheet.title
    for frame in sheet.frames:
        yield frame.text
    for part in sheet.parts:
        yield from part.texts
    for port in sheet.ports:
        yield from port.texts
    for note in sheet.notes:
        yield from note.texts
