"""Symbols of contacts and coils, of what they switch, and of where wires end.

Their meaning is that of IEC 60617 (sections 07, 08 and 03), from memory.
"""

from tracegraph.draw.shapes import Arc, Box, Circle, Shape, Side
from tracegraph.draw.symbol import Symbol
from tracegraph.draw.symbols.ink import (
    NUMBER_ROOM,
    compose,
    lead,
    oblong,
    run,
    sign,
    spot,
    two_ended,
)
from tracegraph.stage.kinds.contact import CLOSED
from tracegraph.stage.part import Part

_NEAR, _FAR = 1.1, 2.9


def _contact(part: Part, *more: Shape, closed: bool, top: float = -1.0) -> Symbol:
    """Return a contact at rest: a blade beside its foot, or resting on it."""
    if closed:
        foot = lead((_FAR, 0), (_FAR, -0.75))
        shapes: tuple[Shape, ...] = (foot, lead((_NEAR, 0), (3.15, -0.65)))
    else:
        shapes = (lead((_NEAR, 0), (2.8, -0.95)),)
    pivot = spot((_NEAR, 0), 0.12)
    body = Box(0.9, top - 0.1, 3.3, 0.3)
    return two_ended(part, _NEAR, _FAR, (*shapes, pivot, *more), body)


def switch(part: Part) -> Symbol:
    """Return a contact as it stands at rest: open (make) or closed (break), IEC 60617."""
    return _contact(part, closed=CLOSED in part.variant)


def thermostat(part: Part) -> Symbol:
    """Return a break contact with theta: heat opens it (IEC 60617)."""
    link = lead((2.05, -0.35), (2.05, -0.8))
    theta = sign("ϑ", (2.05, -1.3), 1.1)
    return _contact(part, link, theta, closed=True, top=-1.8)


def relay(part: Part) -> Symbol:
    """Return a coil and the contact that it moves, drawn at rest (IEC 60617).

    The dashed line is the mechanical link; nc is closed and no is open while no
    current flows. A contact that is not wired is not drawn.
    """
    runs = (
        run("a1", Side.UP, (1, 0), (1, 1.4)),
        run("a2", Side.DOWN, (1, 4), (1, 2.6)),
        run("nc", Side.UP, (4, 0), (4, 1.2), (4.6, 1.2)),
        run("no", Side.UP, (6, 0), (6, 1.2), (5.4, 1.2)),
        run("com", Side.DOWN, (5, 4), (5, 3)),
    )
    link = (lead((a, 2), (a + 0.4, 2)) for a in (2.15, 2.9, 3.65))
    contact: tuple[Shape, ...] = (lead((5, 3), (4.45, 1.05)), spot((5, 3), 0.12), *link)
    switched = not {"com", "no", "nc"}.isdisjoint(part.pins)
    coil = oblong(Box(-0.1, 1.4, 2.1, 2.6))
    right = (6.2 if switched else 2.2) + (1.2 if part.numbers else 0)
    shapes: tuple[Shape, ...] = (coil, *(contact if switched else ()))
    return compose(part, runs, shapes, Box(-0.2, 0, right, 4), numbers=NUMBER_ROOM)


def motor(part: Part) -> Symbol:
    """Return a circle with M: a motor (IEC 60617)."""
    shapes = (Circle((2, 0), 1.2), sign("M", (2, 0), 1.4, bold=True))
    return two_ended(part, 0.8, 3.2, shapes, Box(0.7, -1.3, 3.3, 1.3))


def lamp(part: Part) -> Symbol:
    """Return a circle with a cross: a lamp (IEC 60617)."""
    reach = 0.85 * 0.7071
    cross = (
        lead((2 - reach, -reach), (2 + reach, reach)),
        lead((2 - reach, reach), (2 + reach, -reach)),
    )
    shapes = (Circle((2, 0), 0.85), *cross)
    return two_ended(part, 1.15, 2.85, shapes, Box(1.0, -0.95, 3.0, 0.95))


def buzzer(part: Part) -> Symbol:
    """Return a half disc with both leads at it: a buzzer (IEC 60617)."""
    dome = Arc((0.95, 0.45), (3.05, 0.45), 1.05)
    base = lead((0.95, 0.45), (3.05, 0.45))
    inner = 2 - (1.05**2 - 0.45**2) ** 0.5
    shapes = (dome, base)
    return two_ended(part, inner, 4 - inner, shapes, Box(0.85, -0.7, 3.15, 0.6))


def testpoint(part: Part) -> Symbol:
    """Return a small open circle on a stem: a terminal to touch with a probe (IEC 60617)."""
    runs = (run("1", Side.DOWN, (0, 0), (0, -0.7)),)
    return compose(part, runs, (Circle((0, -1.05), 0.35),), Box(-0.5, -1.5, 0.5, -0.5))
