"""What a symbol is: shapes in a base pose, and the pins that wires reach."""

from typing import NamedTuple

from tracegraph.draw.shapes import Box, Grid, Pose, Shape, Side, posed


class Leg(NamedTuple):
    """A pin of a symbol.

    Attributes:
        pin: Its canonical name in the part.
        at: Where a wire meets it, on the grid.
        side: The way that a wire leaves it.
    """

    pin: str
    at: Grid
    side: Side


class Symbol(NamedTuple):
    """A symbol standing somewhere.

    Attributes:
        shapes: What is drawn, leads included; each lead ends exactly at its leg.
        legs: Every pin of the part once.
        body: What no wire or label may touch: all shapes but the free leads.
        room: Where designator and value fit inside the body, or None.
    """

    shapes: tuple[Shape, ...]
    legs: tuple[Leg, ...]
    body: Box
    room: Box | None = None


def stand(symbol: Symbol, pose: Pose, at: Grid = (0, 0)) -> Symbol:
    """Return a symbol in a pose, moved so that its origin comes to `at`."""
    legs = []
    for leg in symbol.legs:
        x, y = pose.point(leg.at)
        place = round(x) + at[0], round(y) + at[1]
        legs.append(Leg(leg.pin, place, pose.side(leg.side)))
    room = pose.box(symbol.room).moved(at) if symbol.room else None
    shapes = tuple(posed(shape, pose, at) for shape in symbol.shapes)
    return Symbol(shapes, tuple(legs), pose.box(symbol.body).moved(at), room)
