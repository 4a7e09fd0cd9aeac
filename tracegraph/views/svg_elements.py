"""SVG elements: numbers, escaped words, and one element a shape."""

import re
from collections.abc import Iterable
from hashlib import sha256
from urllib.parse import quote

from tracegraph.draw.shapes import Anchor, Arc, Circle, Fill, Shape, Stroke, Text, Tone
from tracegraph.draw.text import one_line
from tracegraph.views.palette import Palette
from tracegraph.views.strokes import DASH, HALO, UNIT, base_line

# What XML 1.0 has no place for, even escaped (section 2.2, production 2).
_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_ESCAPES = str.maketrans(
    {
        "&": "&amp;",
        "<": "&lt;",
        ">": "&gt;",
        '"': "&quot;",
        "'": "&#39;",
        "\n": "&#10;",
        "\r": "&#13;",
        "\t": "&#9;",
    }
)
LONG = 80  # letters of an id; longer names are told by their digest


def escaped(text: str) -> str:
    """Return a text that may stand in an element or an attribute, whatever it is.

    >>> escaped("<script>alert('x')</script>")
    '&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;'
    """
    return _NO_XML.sub("\N{REPLACEMENT CHARACTER}", text).translate(_ESCAPES)


def identity(*names: str) -> str:
    """Return an id of a thing from its names: no two names give the same one.

    >>> identity("net", "GATE"), identity("pin", "Q1.b"), identity("net", "a b")
    ('net-GATE', 'pin-Q1.b', 'net-a:20b')
    """
    whole = "-".join(names)
    plain = quote(whole, safe="", errors="surrogatepass").replace("%", ":")
    if len(plain) <= LONG:
        return plain
    digest = sha256(whole.encode("utf-8", "surrogatepass")).hexdigest()
    return f"{plain[: LONG - 24]}:-{digest[:22]}"


def number(value: float) -> str:
    """Return a number to a tenth, without a tail: `12`, `12.5`, `0`."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def pixels(units: float) -> str:
    """Return a length of grid units, written in pixels."""
    return number(units * UNIT)


def attributes(**given: str | None) -> str:
    """Return attributes, those that are None left out; `_` stands for `-`."""
    told = ((name, value) for name, value in given.items() if value is not None)
    return "".join(
        f' {name.rstrip("_").replace("_", "-")}="{escaped(value)}"'
        for name, value in told
    )


def group(children: Iterable[str], title: str = "", **given: str | None) -> str:
    """Return a group with its title; nothing where there is nothing in it."""
    inner = "".join(children)
    if not inner:
        return ""
    told = f"<title>{escaped(title)}</title>" if title else ""
    return f"<g{attributes(**given)}>{told}{inner}</g>\n"


def element(shape: Shape, look: Palette, *, tint: bool = False) -> str:
    """Return a shape as an element.

    Args:
        shape: The shape; what stands as the group around has it is left out.
        look: The colours.
        tint: Whether it stands behind the picture in a pale colour.
    """
    match shape:
        case Stroke():
            style = _style(shape, shape.fill, look, tint=tint)
            return f'<path d="{_path(shape)}"{style}/>'
        case Circle((x, y), radius):
            style = _style(shape, shape.fill, look, tint=tint)
            place = attributes(cx=pixels(x), cy=pixels(y), r=pixels(radius))
            return f"<circle{place}{style}/>"
        case Arc():
            style = _style(shape, Fill.NONE, look, tint=tint)
            return f'<path d="{_arc(shape)}"{style}/>'
        case Text():
            return written(shape, look)


def written(text: Text, look: Palette, *, halo: bool = False) -> str:
    """Return a line of text; with a halo it can be read across a wire."""
    if not text.text:
        return ""
    x, y = base_line(text)
    style = attributes(
        x=number(x),
        y=number(y),
        font_size=pixels(text.size),
        font_weight="700" if text.bold else None,
        text_anchor=None if text.anchor is Anchor.START else text.anchor.value,
        fill=look.colours[text.tone],
        stroke=look.paper if halo else "none",
        stroke_width=number(HALO) if halo else None,
        paint_order="stroke" if halo else None,
    )
    title = f"<title>{escaped(text.full)}</title>" if text.full else ""
    return f"<text{style}>{title}{escaped(one_line(text.text))}</text>"


def _style(
    shape: Stroke | Circle | Arc, fill: Fill, look: Palette, *, tint: bool
) -> str:
    colour = look.tint(shape.tone) if tint else look.colours[shape.tone]
    inside = {Fill.NONE: None, Fill.INK: colour, Fill.PAPER: look.paper}[fill]
    return attributes(
        fill=inside,
        stroke=None if shape.tone is Tone.INK and not tint else colour,
        stroke_width=None if shape.width == Stroke(()).width else pixels(shape.width),
        stroke_dasharray=" ".join(map(number, DASH)) if shape.dashed else None,
        stroke_linecap="butt" if shape.dashed else None,
    )


def _path(stroke: Stroke) -> str:
    points = (f"{pixels(x)} {pixels(y)}" for x, y in stroke.points)
    return "M" + "L".join(points) + ("Z" if stroke.closed else "")


def _arc(arc: Arc) -> str:
    (x, y), (u, v), r = arc.start, arc.end, pixels(arc.radius)
    way = int(arc.clockwise)
    return f"M{pixels(x)} {pixels(y)}A{r} {r} 0 0 {way} {pixels(u)} {pixels(v)}"
