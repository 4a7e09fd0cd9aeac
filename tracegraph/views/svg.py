"""A drawing as SVG, written by us: same drawing, same bytes.

Every part, pin and net is a group with an id, a title, and `data-` attributes, so that
a page can make it clickable, and a test can read the section back from the picture.
The geometry is plain: wires are level and upright pieces, pins are points.
"""

from collections.abc import Iterable, Iterator

from tracegraph.draw.drawing import Drawing, Drawn, NetLabel, Noted, Port, Sheet, Wire
from tracegraph.draw.overlay import Between, OnNet, OnPart, Target
from tracegraph.draw.shapes import Text, Tone
from tracegraph.stage.part import Pin
from tracegraph.views.palette import Palette, palette
from tracegraph.views.strokes import DOT, FAMILY, WIRE, frame_outline, wire_tone
from tracegraph.views.svg_elements import (
    attributes,
    element,
    escaped,
    group,
    identity,
    pixels,
    written,
)

SPACE = "http://www.w3.org/2000/svg"
# Letters are set as wide as they were measured: neither drawn together nor joined.
AS_MEASURED = "font-kerning:none;font-variant-ligatures:none"
REACH = "4"  # radius in pixels within which a pin feels the pointer


def svg(sheet: Sheet, *, dark: bool = False) -> str:
    """Return one sheet as an SVG document."""
    return _document((sheet,), palette(dark=dark))


def svg_of(drawing: Drawing, *, dark: bool = False) -> str:
    """Return a whole drawing as one SVG document, its sheets one above the other."""
    return _document(drawing.sheets, palette(dark=dark))


def _document(sheets: tuple[Sheet, ...], look: Palette) -> str:
    """Return sheets, one above the other, as a document."""
    width = pixels(max(sheet.width for sheet in sheets))
    height = pixels(sum(sheet.height for sheet in sheets))
    head = attributes(
        xmlns=SPACE,
        width=width,
        height=height,
        viewBox=f"0 0 {width} {height}",
        role="img",
        direction="ltr",
        font_family=FAMILY,
        style=AS_MEASURED,
        fill="none",
        stroke=look.colours[Tone.INK],
        stroke_width="1.5",
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    title = sheets[0].title
    words = f"<title>{escaped(title.full or title.text)}</title>\n"
    ground = attributes(class_="paper", width=width, height=height, fill=look.paper)
    body = "".join(_stacked(sheets, look))
    paper = f'<rect{ground} stroke="none"/>\n'
    return f"<svg{head}>\n{words}<desc>{_told(sheets)}</desc>\n{paper}{body}</svg>\n"


def _told(sheets: tuple[Sheet, ...]) -> str:
    """Return what there is to see, for one who cannot see it."""
    refs = sorted({part.ref for sheet in sheets for part in sheet.parts})
    if sheets[0].told:
        return escaped(sheets[0].told)
    return escaped(f"Circuit diagram. Parts: {', '.join(refs) or 'none'}.")


def _stacked(sheets: tuple[Sheet, ...], look: Palette) -> Iterator[str]:
    """Yield each sheet with coordinates of its own."""
    if len(sheets) == 1:
        yield _sheet(sheets[0], look)
        return
    top = 0.0
    for sheet in sheets:
        width, height = pixels(sheet.width), pixels(sheet.height)
        box = attributes(y=pixels(top), width=width, height=height)
        yield f'<svg{box} viewBox="0 0 {width} {height}">\n{_sheet(sheet, look)}</svg>\n'
        top += sheet.height


def _sheet(sheet: Sheet, look: Palette) -> str:
    """Return the layers of a sheet, the undermost first."""
    frames = (element(frame_outline(one), look) for one in sheet.frames)
    pins = _pins_by_net(sheet)
    layers = {
        "frames": frames,
        "tints": (_note(one, look, under=True) for one in sheet.notes),
        "wires": (_wire(one, look, sheet.number, pins) for one in sheet.wires),
        "parts": (_part(one, look, sheet.number) for one in sheet.parts),
        "ports": (_port(one, look) for one in sheet.ports),
        "names": (_label(one, look) for one in sheet.labels),
        "marks": (_note(one, look, under=False) for one in sheet.notes),
        "texts": _texts(sheet, look),
        "legend": (element(one, look) for one in sheet.legend),
    }
    inner = (group(each, class_=name) for name, each in layers.items())
    return group(inner, class_="sheet", data_sheet=str(sheet.number))


def _pins_by_net(sheet: Sheet) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for part in sheet.parts:
        for pin, net in part.nets:
            found.setdefault(net, []).append(f"{part.ref}.{pin}")
    return found


def _of_sheet(number: int, *names: str) -> str:
    """Return an id; from the second sheet on with the sheet's number before it."""
    return identity(*names) if number == 1 else identity(f"sheet{number}", *names)


def _wire(wire: Wire, look: Palette, number: int, pins: dict[str, list[str]]) -> str:
    """Return the copper of a net: one path, and a dot at each junction."""
    tone, ghost = wire_tone(wire), wire.ghost
    colour = None if tone is Tone.INK else look.colours[tone]
    line = attributes(
        class_="wire",
        d="".join(_piece(*segment) for segment in wire.segments),
        stroke=colour,
        stroke_width=pixels(WIRE),
        stroke_dasharray="4 3" if ghost else None,
        stroke_linecap="butt" if ghost else None,
    )
    dots = (
        f'<circle class="dot" cx="{pixels(x)}" cy="{pixels(y)}" r="{pixels(DOT)}" '
        f'fill="{look.colours[tone]}" stroke="none"/>'
        for x, y in wire.dots
    )
    on_it = ", ".join(pins.get(wire.net, ()))
    return group(
        (f"<path{line}/>" if wire.segments else "", *dots),
        f"{wire.net}: {on_it}" if on_it else wire.net,
        class_="net ghost" if ghost else "net",
        id=_of_sheet(number, "ghost-net" if ghost else "net", wire.net),
        data_net=wire.net,
    )


def _piece(start: tuple[float, float], end: tuple[float, float]) -> str:
    (x, y), (u, v) = start, end
    return f"M{pixels(x)} {pixels(y)}L{pixels(u)} {pixels(v)}"


def _part(part: Drawn, look: Palette, number: int) -> str:
    """Return a part: its symbol, and a point for each pin."""
    kept = "ghost" if part.status == "ghost" else "part"
    return group(
        (
            *(element(shape, look) for shape in part.shapes),
            *_pins(part, number, "ghost-pin" if kept == "ghost" else "pin"),
        ),
        part.title or part.ref,
        class_="part",
        id=_of_sheet(number, kept, part.ref),
        data_ref=part.ref,
        data_kind=part.kind,
        data_status=part.status,
        data_channel=part.channel or None,
    )


def _pins(part: Drawn, number: int, word: str) -> Iterator[str]:
    """Yield an unseen point for each pin, exactly where its wire meets it."""
    nets = dict(part.nets)
    for leg in part.legs:
        name, (x, y) = f"{part.ref}.{leg.pin}", leg.at
        net = nets.get(leg.pin, "")
        place = attributes(cx=pixels(x), cy=pixels(y), r=REACH)
        yield group(
            (f'<circle{place} stroke="none" pointer-events="all"/>',),
            f"{name}: {net}" if net else name,
            class_="pin",
            id=_of_sheet(number, word, name),
            data_pin=name,
            data_net=net,
            data_x=pixels(x),
            data_y=pixels(y),
        )


def _port(port: Port, look: Palette) -> str:
    x, y = port.at
    return group(
        (element(shape, look) for shape in port.shapes),
        port.title or port.net,
        class_="port",
        data_net=port.net,
        data_form=port.form.value,
        data_x=pixels(x),
        data_y=pixels(y),
    )


def _label(label: NetLabel, look: Palette) -> str:
    text = (written(label.text, look, halo=True),)
    return group(text, label.net, class_="name", data_net=label.net)


def _note(note: Noted, look: Palette, *, under: bool) -> str:
    """Return what of a mark stands behind the picture, or before it."""
    shapes = note.under if under else note.over
    drawn = (element(shape, look, tint=under) for shape in shapes)
    return group(drawn, note.title, **_of_note(note))


def _of_note(note: Noted) -> dict[str, str | None]:
    return {
        "class_": "mark",
        "data_role": note.role.value,
        "data_layer": str(note.layer),
        "data_target": _target(note.target),
    }


def _target(target: Target | None) -> str | None:
    match target:
        case None:
            return None
        case OnPart(name) | OnNet(name):
            return name
        case Between(a, b):
            return f"{a} {b}"
        case Pin():
            return str(target)


def _texts(sheet: Sheet, look: Palette) -> Iterator[str]:
    """Yield the words of the sheet, each with the name of what it belongs to."""
    yield group((written(sheet.title, look),), class_="title")
    for frame in sheet.frames:
        yield group((written(frame.text, look),), data_channel=frame.name)
    for part in sheet.parts:
        yield group(_lines(part.texts, look), part.title, data_ref=part.ref)
    for port in sheet.ports:
        yield group(_lines(port.texts, look), port.title, data_net=port.net)
    for note in sheet.notes:
        words = (written(text, look, halo=True) for text in note.texts)
        yield group(words, note.title, **_of_note(note))


def _lines(texts: Iterable[Text], look: Palette) -> Iterator[str]:
    return (written(text, look) for text in texts)
