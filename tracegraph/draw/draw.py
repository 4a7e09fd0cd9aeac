"""The picture of a section: Stage and overlays in, frozen geometry out."""

from collections.abc import Sequence

from tracegraph.draw.drawing import Drawing, Sheet
from tracegraph.draw.items import Section, items_of
from tracegraph.draw.layout import Laid, lay_out
from tracegraph.draw.names import labels_of, taken_boxes
from tracegraph.draw.overlay import Overlay
from tracegraph.draw.place import Spacing
from tracegraph.draw.room import Room
from tracegraph.draw.score import score
from tracegraph.draw.shapes import Text
from tracegraph.stage.stage import Stage

TRIES = (
    (Spacing(4, 2), True),
    (Spacing(4, 2), False),
    (Spacing(3, 1), True),
    (Spacing(5, 3), True),
)
"""Layouts that are compared: room between cells, and whether pins are sorted."""

ROOMIER = (Spacing(6, 3), Spacing(9, 5))
MANY = 80
"""Items above which one layout has to do."""


def draw(stage: Stage, overlays: Sequence[Overlay] = ()) -> Drawing:
    """Return the picture of a section with overlays laid over it.

    Raises:
        NoDotError: There is no graphviz on this machine.
        DotError: Graphviz failed.
    """
    section = Section(stage, items_of(stage))
    laid = _laid(section)
    return Drawing(stage.title, (_sheet(section, laid, 1),))


def _laid(section: Section) -> Laid:
    """Return the best of a few layouts; roomier ones where a wire found no way."""
    tries = TRIES if len(section.items) <= MANY else TRIES[:1]
    found = [lay_out(section, spacing, sort=sort) for spacing, sort in tries]
    good = [laid for laid in found if not laid.failed]
    if good:
        return min(good, key=lambda laid: score(laid.wires, laid.size).worth)
    for spacing in ROOMIER:
        laid = lay_out(section, spacing)
        if not laid.failed:
            return laid
    failed = min((laid.failed for laid in found), key=len)
    by_name = (section.hubs - {*section.stage.references}) | failed
    return _laid(Section(section.stage, section.items, section.beyond, by_name))


def _sheet(section: Section, laid: Laid, number: int) -> Sheet:
    room = Room(taken_boxes(laid.drawn, laid.ports, laid.wires))
    labels = labels_of(section, laid.drawn, laid.ports, laid.wires, room)
    title = Text((2, 2), section.stage.title, 1.6, bold=True)
    width, height = laid.size
    return Sheet(
        number, title, width, height, laid.drawn, laid.wires, laid.ports, labels
    )
