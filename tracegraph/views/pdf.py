"""A drawing as PDF: lines as lines, words as words in the shipped font, a page a sheet."""

from collections.abc import Iterator
from importlib.resources import files
from io import BytesIO
from itertools import chain
from typing import Any

from tracegraph.draw.drawing import Drawing, Sheet
from tracegraph.draw.shapes import Anchor, Arc, Circle, Fill, Shape, Stroke, Text, Tone
from tracegraph.draw.text import one_line
from tracegraph.views.arcs import arc_centre, arc_sweep
from tracegraph.views.palette import Palette, palette
from tracegraph.views.right_to_left import visual_order
from tracegraph.views.strokes import (
    DASH,
    FONTS,
    HALO,
    UNIT,
    base_line,
    frame_outline,
    top_texts,
    wire_shapes,
)

POINTS = 0.75  # points of a page (1/72 inch) in a pixel (1/96 inch)
FILLED, OUTLINED = 0, 1  # ways of showing letters (ISO 32000-1, 9.3.6)
BUTT, ROUND = 0, 1  # ends of lines (ISO 32000-1, 8.4.3.3)


def pdf(drawing: Drawing, *, dark: bool = False) -> bytes:
    """Return a drawing as a PDF file: the size of each page is that of its sheet."""
    from reportlab.pdfgen.canvas import Canvas

    out, names = BytesIO(), _fonts()
    canvas = Canvas(out, invariant=1, pageCompression=1, initialFontName=names[0])
    canvas.setTitle(one_line(drawing.title))
    canvas.setCreator("tracegraph")
    canvas.setAuthor("")
    canvas.setSubject("")
    for sheet in drawing.sheets:
        _Page(canvas, sheet, palette(dark=dark), names).draw()
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _fonts() -> tuple[str, str]:
    """Make the two weights of the shipped font known and return their names."""
    from reportlab.pdfbase.pdfmetrics import registerFont
    from reportlab.pdfbase.ttfonts import TTFont

    for name in FONTS:
        data = (files("tracegraph.draw") / "font" / name).read_bytes()
        registerFont(TTFont(name, BytesIO(data)))
    plain, bold = FONTS
    return plain, bold


class _Page:
    """One sheet being drawn; `y` grows upwards on a page."""

    def __init__(
        self, canvas: Any, sheet: Sheet, look: Palette, fonts: tuple[str, str]
    ) -> None:
        self.canvas, self.sheet, self.look, self.fonts = canvas, sheet, look, fonts
        self.width, self.height = sheet.width * UNIT, sheet.height * UNIT

    def draw(self) -> None:
        """Draw the layers of the sheet, the undermost first."""
        canvas, sheet = self.canvas, self.sheet
        canvas.setPageSize((self.width * POINTS, self.height * POINTS))
        canvas.scale(POINTS, POINTS)
        canvas.setLineJoin(ROUND)
        canvas.setFillColor(self.look.paper)
        canvas.rect(0, 0, self.width, self.height, stroke=0, fill=1)
        for frame in sheet.frames:
            self.shape(frame_outline(frame))
        for shape in chain.from_iterable(note.under for note in sheet.notes):
            self.shape(shape, tint=True)
        for shape in self._lines():
            self.shape(shape)
        for label in sheet.labels:
            self.text(label.text, halo=True)
        for shape in chain.from_iterable(note.over for note in sheet.notes):
            self.shape(shape)
        on_marks = {id(text) for note in sheet.notes for text in note.texts}
        for text in top_texts(sheet):
            self.text(text, halo=id(text) in on_marks)
        for shape in sheet.legend:
            self.shape(shape)

    def _lines(self) -> Iterator[Shape]:
        for wire in self.sheet.wires:
            yield from wire_shapes(wire)
        for part in self.sheet.parts:
            yield from part.shapes
        for port in self.sheet.ports:
            yield from port.shapes

    def shape(self, shape: Shape, *, tint: bool = False) -> None:
        """Draw one shape; with `tint` in its pale colour."""
        if isinstance(shape, Text):
            self.text(shape)
            return
        colour = self._colour(shape.tone, tint=tint)
        self.canvas.setStrokeColor(colour)
        self.canvas.setLineWidth(shape.width * UNIT)
        self.canvas.setLineCap(BUTT if shape.dashed else ROUND)
        self.canvas.setDash(*(DASH if shape.dashed else ()))
        fill = Fill.NONE if isinstance(shape, Arc) else shape.fill
        self.canvas.setFillColor(self.look.paper if fill is Fill.PAPER else colour)
        how = {"stroke": int(shape.width > 0), "fill": int(fill is not Fill.NONE)}
        self.canvas.drawPath(self._path(shape), **how)

    def _path(self, shape: Stroke | Circle | Arc) -> Any:
        path = self.canvas.beginPath()
        match shape:
            case Stroke(points):
                path.moveTo(*self._at(points[0]))
                for point in points[1:]:
                    path.lineTo(*self._at(point))
                if shape.closed:
                    path.close()
            case Circle(centre, radius):
                path.circle(*self._at(centre), radius * UNIT)
            case Arc():
                self._arc(path, shape)
        return path

    def _arc(self, path: Any, arc: Arc) -> None:
        (x, y), radius = arc_centre(arc)
        left, top = self._at((x - radius, y - radius))
        right, bottom = self._at((x + radius, y + radius))
        start, extent = arc_sweep(arc)
        # Angles of a page grow against the clock, ours with it.
        path.arc(left, bottom, right, top, -start, -extent)

    def text(self, text: Text, *, halo: bool = False) -> None:
        """Write a line of text."""
        x, y = base_line(text)
        shown = visual_order(one_line(text.text))
        self.canvas.setFont(self.fonts[text.bold], text.size * UNIT)
        write = {
            Anchor.START: self.canvas.drawString,
            Anchor.MIDDLE: self.canvas.drawCentredString,
            Anchor.END: self.canvas.drawRightString,
        }[text.anchor]
        if halo:
            self.canvas.setDash()
            self.canvas.setLineWidth(HALO)
            self.canvas.setStrokeColor(self.look.paper)
            write(x, self.height - y, shown, mode=OUTLINED)
        self.canvas.setFillColor(self._colour(text.tone))
        write(x, self.height - y, shown, mode=FILLED)

    def _at(self, point: tuple[float, float]) -> tuple[float, float]:
        x, y = point
        return x * UNIT, self.height - y * UNIT

    def _colour(self, tone: Tone, *, tint: bool = False) -> str:
        return self.look.tint(tone) if tint else self.look.colours[tone]
