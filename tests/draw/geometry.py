"""What is wrong with a sheet to the eye: things over each other, or off the paper."""

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from tests.draw.extent import (
    Line,
    Owned,
    line_box,
    lines,
    runs_into,
    shape_box,
    text_box,
    texts_of,
)
from tracegraph.draw.drawing import Port, PortForm, Sheet
from tracegraph.draw.shapes import Box, Point, Shape, around

NEAR = 0.05
"""Half a pixel: what touches by less than that does not lie over anything."""

HALO = 0.15
"""Paper around the name of a net, which would part a wire under it."""

SLACK = 0.25
"""What a comma or an accent may stand out of a box; it is looked at for itself."""


class Piece(NamedTuple):
    """A straight piece of wire."""

    net: str
    line: Line
    ghost: bool


class Solid(NamedTuple):
    """A part or port, as something that nothing else may lie over.

    Attributes:
        owner: What it is called.
        box: Its body.
        lines: What it is drawn with.
        extent: What all of that covers, and a little more: what lies outside need
            not be compared with every line.
    """

    owner: str
    box: Box
    lines: tuple[Line, ...]
    extent: Box


def faults(sheet: Sheet) -> list[str]:
    """Return everything that is wrong with a sheet, in words."""
    return [
        *text_over_text(sheet),
        *text_over_wire(sheet),
        *text_over_shape(sheet),
        *text_out_of_box(sheet),
        *wire_through_body(sheet),
        *solid_over_solid(sheet),
        *wire_over_wire(sheet),
        *points_shared(sheet),
        *alike_ports(sheet),
        *outside(sheet),
    ]


def wire_pieces(sheet: Sheet) -> list[Piece]:
    """Return all straight pieces of wire on a sheet."""
    return [Piece(w.net, line, w.ghost) for w in sheet.wires for line in w.segments]


def solids(sheet: Sheet) -> list[Solid]:
    """Return the parts and ports of a sheet."""
    parts = [_solid(one.ref, one.body, one.shapes) for one in sheet.parts]
    return [*parts, *port_solids(sheet)]


def port_solids(sheet: Sheet) -> list[Solid]:
    """Return the ports of a sheet."""
    return [
        _solid(f"{one.form} {one.net} #{k}", one.box, one.shapes)
        for k, one in enumerate(sheet.ports)
    ]


def _solid(owner: str, box: Box, shapes: tuple[Shape, ...]) -> Solid:
    own = tuple(line for shape in shapes for line in lines(shape))
    return Solid(owner, box, own, around([box, *map(line_box, own)]).grown(1.0))


def _told(one: Owned) -> str:
    return f'"{one.text.text[:30]}" of {one.owner[:40]}'


def text_over_text(sheet: Sheet) -> Iterator[str]:
    """Yield texts that lie over each other."""
    for one, other in combinations(texts_of(sheet), 2):
        if one.box.grown(-NEAR).meets(other.box):
            yield f"text over text: {_told(one)}, {_told(other)}"


def text_over_wire(sheet: Sheet) -> Iterator[str]:
    """Yield texts that a wire runs through."""
    pieces = wire_pieces(sheet)
    for one in texts_of(sheet):
        named = one.owner.startswith("label ")
        inner = one.box.grown(HALO if named else -NEAR)
        for piece in pieces:
            if runs_into(piece.line, inner):
                yield f"text over wire: {_told(one)}, {piece.net} at {piece.line}"


def text_over_shape(sheet: Sheet) -> Iterator[str]:
    """Yield texts over a foreign body, or over any stroke of a symbol."""
    things = solids(sheet)
    borders = [(f"frame {f.name}", line) for f in sheet.frames for line in _rim(f.box)]
    for one in texts_of(sheet):
        inner = one.box.grown(-NEAR)
        for thing in things:
            if not inner.meets(thing.extent):
                continue
            if thing.owner != one.owner and inner.meets(thing.box):
                yield f"text over body: {_told(one)}, {thing.owner}"
            elif any(runs_into(line, inner) for line in thing.lines):
                yield f"text over stroke: {_told(one)}, {thing.owner}"
        for name, line in borders:
            if runs_into(line, inner):
                yield f"text over frame: {_told(one)}, {name}"
        for k, note in enumerate(sheet.notes):
            over = (line for shape in note.over for line in lines(shape))
            own = one.owner.startswith(f"note {k} ")
            if not own and any(runs_into(line, inner) for line in over):
                yield f"text under mark: {_told(one)}, note {k} {note.role}"


def _rim(box: Box) -> tuple[Line, ...]:
    left, top, right, bottom = box
    corners = (left, top), (right, top), (right, bottom), (left, bottom)
    return tuple(zip(corners, (*corners[1:], corners[0]), strict=True))


def text_out_of_box(sheet: Sheet) -> Iterator[str]:
    """Yield net names that don't stay in the box that was kept free for them."""
    for label in sheet.labels:
        if not _holds(label.box.grown(SLACK), text_box(label.text)):
            yield f"text out of box: label {label.net[:40]}"
    for port in sheet.ports:
        for text in port.texts:
            if not _holds(port.box.grown(SLACK), text_box(text)):
                yield f"text out of box: {port.form} {port.net[:40]}"


def _holds(outer: Box, inner: Box) -> bool:
    big = outer.grown(NEAR)
    return (
        big.left <= inner.left
        and big.top <= inner.top
        and inner.right <= big.right
        and inner.bottom <= big.bottom
    )


def wire_through_body(sheet: Sheet) -> Iterator[str]:
    """Yield wires that run through a part or a port, or on a lead."""
    things = solids(sheet)
    for piece in wire_pieces(sheet):
        around_it = line_box(piece.line).grown(NEAR)
        for thing in things:
            if not around_it.meets(thing.extent):
                continue
            if runs_into(piece.line, thing.box.grown(-NEAR)):
                yield f"wire through body: {piece.net} at {piece.line}, {thing.owner}"
            elif any(overlap(piece.line, line) for line in thing.lines):
                yield f"wire on lead: {piece.net} at {piece.line}, {thing.owner}"


def solid_over_solid(sheet: Sheet) -> Iterator[str]:
    """Yield parts and ports that lie over each other, leads over bodies among them."""
    for one, other in combinations(solids(sheet), 2):
        if not one.extent.meets(other.extent):
            continue
        if one.box.grown(-NEAR).meets(other.box):
            yield f"body over body: {one.owner}, {other.owner}"
            continue
        for mine, his in ((one, other), (other, one)):
            if any(runs_into(line, his.box.grown(-NEAR)) for line in mine.lines):
                yield f"lead over body: {mine.owner}, {his.owner}"


def wire_over_wire(sheet: Sheet) -> Iterator[str]:
    """Yield wires on each other, and ends on a foreign wire: it looks like a joint."""
    pieces = wire_pieces(sheet)
    for piece in pieces:
        if piece.line[0] == piece.line[1]:
            yield f"wire of no length: {piece.net} at {piece.line}"
    for one, other in combinations(pieces, 2):
        ghostly = one.net == other.net and one.ghost != other.ghost
        if not meet(one.line, other.line) or ghostly:
            continue
        if overlap(one.line, other.line):
            yield f"wire on wire: {one.net} at {one.line}, {other.net} at {other.line}"
        elif one.net != other.net and (
            any(touches(other.line, end) for end in one.line)
            or any(touches(one.line, end) for end in other.line)
        ):
            yield f"end on foreign wire: {one.net}, {other.net} at {other.line}"


def points_shared(sheet: Sheet) -> Iterator[str]:
    """Yield pins, ports and dots of one net on a wire or pin of another."""
    points = [*_pins(sheet), *((f"port {p.net}", p.net, p.at) for p in sheet.ports)]
    dots = [(f"dot {w.net}", w.net, dot) for w in sheet.wires for dot in w.dots]
    pieces = wire_pieces(sheet)
    for name, net, at in (*points, *dots):
        for piece in pieces:
            if piece.net != net and touches(piece.line, at):
                yield f"on foreign wire: {name} at {at}, {piece.net}"
    for (name, net, at), (other, its, there) in combinations(points, 2):
        if at == there and net != its:
            yield f"two nets at one point: {name}, {other} at {at}"


def _pins(sheet: Sheet) -> Iterator[tuple[str, str, Point]]:
    for part in sheet.parts:
        nets = dict(part.nets)
        for leg in part.legs:
            own = f"{part.ref}.{leg.pin}"
            yield own, nets.get(leg.pin, own), leg.at


def alike_ports(sheet: Sheet) -> Iterator[str]:
    """Yield nets whose rail or ground symbols a reader can't tell apart."""
    looks: dict[object, str] = {}
    kept = {PortForm.RAIL, PortForm.GROUND, PortForm.SHEET, PortForm.NAME}
    for port in sheet.ports:
        if port.form in kept:
            other = looks.setdefault(_look(port), port.net)
            if other != port.net:
                yield f"look alike: {port.form}s {other} and {port.net}"


def _look(port: Port) -> object:
    """Return how a port looks, wherever it stands and however it is turned."""
    own = [line for shape in port.shapes for line in lines(shape)]
    lengths = sorted(round(abs(a[0] - b[0]) + abs(a[1] - b[1]), 1) for a, b in own)
    return port.form, tuple(text.text for text in port.texts), tuple(lengths)


def outside(sheet: Sheet) -> Iterator[str]:
    """Yield what does not lie on the paper."""
    paper = Box(0, 0, sheet.width, sheet.height)
    things = [(one.owner, one.box) for one in texts_of(sheet)]
    things += [(piece.net, line_box(piece.line)) for piece in wire_pieces(sheet)]
    for part in sheet.parts:
        boxes = [part.body, *(shape_box(one) for one in part.shapes)]
        things += [(part.ref, box) for box in boxes]
    for port in sheet.ports:
        boxes = [port.box, *(shape_box(one) for one in port.shapes)]
        things += [(f"{port.form} {port.net}", box) for box in boxes]
    things += [(f"frame {frame.name}", frame.box) for frame in sheet.frames]
    for k, note in enumerate(sheet.notes):
        shapes = (*note.under, *note.over)
        things += [(f"note {k}", shape_box(one)) for one in shapes]
    things += [("legend", shape_box(one)) for one in sheet.legend]
    for name, box in things:
        if not _holds(paper, box):
            yield f"off the paper: {name[:40]} at {box}"


def meet(one: Line, other: Line) -> bool:
    """Return whether the boxes of two lines share at least a point."""
    return min(_shared(one, other)) >= 0


def overlap(one: Line, other: Line) -> bool:
    """Return whether two upright or level lines lie on each other for a way."""
    ((a, b), (c, d)), ((e, f), (g, h)) = one, other
    if b == d == f == h:
        return _shared(one, other)[0] > NEAR
    return a == c == e == g and _shared(one, other)[1] > NEAR


def _shared(one: Line, other: Line) -> tuple[float, float]:
    """Return how wide and high the boxes of two lines share the paper; below zero: apart."""
    ((a, b), (c, d)), ((e, f), (g, h)) = one, other
    return (
        min(max(a, c), max(e, g)) - max(min(a, c), min(e, g)),
        min(max(b, d), max(f, h)) - max(min(b, d), min(f, h)),
    )


def touches(line: Line, at: Point) -> bool:
    """Return whether a point lies on an upright or level line, its ends among them."""
    (x, y), (u, v) = line
    return min(x, u) <= at[0] <= max(x, u) and min(y, v) <= at[1] <= max(y, v)
