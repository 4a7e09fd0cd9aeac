"""The picture of a section: Stage and overlays in, frozen geometry out."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tracegraph.draw.badging import Ground
from tracegraph.draw.cell import text_box
from tracegraph.draw.drawing import Drawing, NetLabel, Noted, Sheet
from tracegraph.draw.ghosts import with_ghosts
from tracegraph.draw.items import Section, items_of
from tracegraph.draw.joins import joined, tracks
from tracegraph.draw.layout import Laid, arrangements, wired
from tracegraph.draw.legend import legend
from tracegraph.draw.marks import noted, take_crosses
from tracegraph.draw.names import labels_of, nameless, taken_boxes
from tracegraph.draw.overlay import Ghost, Mark, OnPart, Overlay, Role
from tracegraph.draw.place import Spacing
from tracegraph.draw.room import Room
from tracegraph.draw.score import score
from tracegraph.draw.shapes import Box, Text
from tracegraph.draw.sheets import sections_of
from tracegraph.draw.text import cut
from tracegraph.stage.caution import cautions
from tracegraph.stage.stage import Stage

TITLE_SIZE = 1.6
NARROWEST = 48
"""Least width of a sheet, for its title and legend."""

RENAMINGS = 4
"""How often a sheet is laid out anew because a name found no room."""

EDGE = 2.0
"""Free paper at the sheet's edge."""

TRIES = (
    (Spacing(4, 2), True),
    (Spacing(4, 2), False),
    (Spacing(3, 1), True),
    (Spacing(5, 3), True),
)
"""Layouts that are compared: room between cells, and whether pins are sorted."""

ROOMIER = ((Spacing(6, 3), True), (Spacing(9, 5), True))


def draw(stage: Stage, overlays: Sequence[Overlay] = ()) -> Drawing:
    """Return the picture of a section with overlays laid over it.

    The section itself is drawn the same with overlays and without.

    Raises:
        NoDotError: There is no graphviz on this machine.
        DotError: Graphviz failed.
    """
    parts = sections_of(Section(stage, items_of(stage)))
    layers = (*_found(stage), *overlays)
    ghosts = [one for layer in layers for one in layer.ghosts]
    homes = [_home(parts, one) for one in ghosts]
    sheets = (
        _sheet(
            _page(section, (number + 1, len(parts))),
            layers,
            [one for one, home in zip(ghosts, homes, strict=True) if home == number],
        )
        for number, section in enumerate(parts)
    )
    return Drawing(stage.title, tuple(sheets))


def _home(parts: Sequence[Section], ghost: Ghost) -> int:
    """Return the sheet that a missing part touches most; the first where none is more."""
    nets = set(ghost.part.pins.values())
    touched = [len(nets & section.pins.keys()) for section in parts]
    return touched.index(max(touched))


class _Page(NamedTuple):
    """A sheet with the names of its nets, before anything is laid over it."""

    section: Section
    laid: Laid
    number: int
    title: Text
    labels: tuple[NetLabel, ...]


def _page(section: Section, place: tuple[int, int], again: int = RENAMINGS) -> _Page:
    """Return a sheet laid out; a net whose name finds no room is joined by its name."""
    section, laid = _laid(section)
    laid = laid._replace(size=(max(laid.size[0], NARROWEST), laid.size[1]))
    title = _title(section, place, laid.size[0])
    labels = _labels(section, laid, _kept(title, laid))
    missing = nameless(section, laid.ports, labels)
    if missing and again:
        return _page(section.joining(missing), place, again - 1)
    return _Page(section, laid, place[0], title, labels)


def _found(stage: Stage) -> Iterator[Overlay]:
    """Yield what the file itself says was found parted, as a layer."""
    marks = tuple(
        Mark(one.pin, Role.BROKEN, "", more=f"{one.net} found parted at {one.pin}")
        for one in stage.breaks
    )
    if marks:
        yield Overlay("found on the board", marks)


def _laid(section: Section) -> tuple[Section, Laid]:
    """Return the best of a few layouts; roomier ones where a wire found no way.

    Where none has room for all wires, those left over are joined by name: the section
    that comes back says which.
    """
    cells = arrangements(section, TRIES)
    found = [wired(one, polish=False) for one in cells]
    good = [k for k, laid in enumerate(found) if not laid.failed]
    if good:
        best = min(good, key=lambda k: score(found[k].wires, found[k].size).worth)
        return section, wired(cells[best], polish=True)
    for one in arrangements(section, ROOMIER):
        laid = wired(one, polish=True)
        if not laid.failed:
            return section, laid
    return _laid(section.joining(min((laid.failed for laid in found), key=len)))


def _sheet(page: _Page, layers: Sequence[Overlay], ghosts: Sequence[Ghost]) -> Sheet:
    section, laid, number, title, labels = page
    names = tuple(label.box for label in labels)
    haunted = with_ghosts(section, laid, ghosts, names)
    drawn = (*laid.drawn, *haunted.drawn)
    ports = (*laid.ports, *haunted.ports)
    wires = (*laid.wires, *haunted.wires)
    width, height = haunted.laid.size
    taken = (*taken_boxes(drawn, ports, wires), *names, *_kept(title, laid))
    ground = Ground(drawn, wires, labels, Room(taken, _paper(haunted.laid)), ports)
    notes = tuple(_notes(ground, layers))
    heed = cautions(section.stage)
    under = legend(heed, layers, notes, drawn, (width, height - 1))
    return Sheet(
        number,
        title,
        width,
        height + under.height,
        drawn,
        wires,
        ports,
        labels,
        laid.frames,
        notes,
        under.shapes,
    )


def _kept(title: Text, laid: Laid) -> tuple[Box, ...]:
    """Return what the title and the frames take."""
    return (text_box(title), *_frame_boxes(laid))


def _labels(section: Section, laid: Laid, kept: Sequence[Box]) -> tuple[NetLabel, ...]:
    """Return the names of nets; nothing else that has no fixed place comes before."""
    taken = (*taken_boxes(laid.drawn, laid.ports, laid.wires), *kept)
    room = Room(taken, _paper(laid))
    return labels_of(section, laid.drawn, laid.ports, laid.wires, room)


def _paper(laid: Laid) -> Box:
    """Return where something may stand on a sheet."""
    width, height = laid.size
    return Box(0.5, 0.5, width - 0.5, height - 0.5)


def _frame_boxes(laid: Laid) -> Iterator[Box]:
    """Yield what the frames of sister channels take: four lines and a name each."""
    for frame in laid.frames:
        left, top, right, bottom = frame.box
        yield text_box(frame.text)
        for edge in (
            Box(left, top, right, top),
            Box(left, bottom, right, bottom),
            Box(left, top, left, bottom),
            Box(right, top, right, bottom),
        ):
            yield edge.grown(0.15)


def _notes(ground: Ground, layers: Sequence[Overlay]) -> Iterator[Noted]:
    """Yield all marks; what can't give way takes its room before any text does."""
    along = [tracks(ground, layer.joins) for layer in layers]
    for layer in layers:
        take_crosses(ground, layer.marks)
    for number, layer in enumerate(layers):
        missing = (
            Mark(OnPart(one.part.ref), Role.ABSENT, one.text, more=one.more)
            for one in layer.ghosts
        )
        yield from noted(ground, (*missing, *layer.marks), number)
        yield from joined(ground, layer.joins, along[number], number)


def _title(section: Section, place: tuple[int, int], width: float) -> Text:
    number, count = place
    told = section.stage.title
    if count > 1:
        sheet = f"sheet {number} of {count}"
        told = f"{told}, {sheet}" if told else sheet
    short = cut(told, width - 2 * EDGE, TITLE_SIZE, bold=True)
    full = told if short != told else ""
    return Text((EDGE, EDGE), short, TITLE_SIZE, bold=True, full=full)
