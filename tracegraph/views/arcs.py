"""An arc by its centre and angles, for writers that want it so."""

from math import asin, atan2, degrees, hypot, sqrt

from tracegraph.draw.shapes import Arc, Point


def arc_centre(arc: Arc) -> tuple[Point, float]:
    """Return centre and radius; a radius too small for the ends is made great enough.

    That is what SVG does as well (SVG 1.1, appendix F.6.6).

    >>> arc_centre(Arc((0, 0), (2, 0), 0.5))
    ((1.0, 0.0), 1.0)
    """
    (x, y), (u, v) = arc.start, arc.end
    chord = hypot(u - x, v - y)
    radius = max(arc.radius, chord / 2)
    off = sqrt(radius**2 - chord**2 / 4) / chord * (1 if arc.clockwise else -1)
    # Going clockwise, the centre lies to the right: the chord turned by a quarter.
    return ((x + u) / 2 - (v - y) * off, (y + v) / 2 + (u - x) * off), radius


def arc_sweep(arc: Arc) -> tuple[float, float]:
    """Return the angle where an arc starts and how far it goes, in degrees, clockwise.

    >>> arc_sweep(Arc((0, 0), (2, 0), 1)), arc_sweep(Arc((0, 0), (2, 0), 1, False))
    ((180.0, 180.0), (180.0, -180.0))
    """
    (x, y), radius = arc_centre(arc)
    (a, b), (u, v) = arc.start, arc.end
    extent = degrees(2 * asin(min(hypot(u - a, v - b) / 2 / radius, 1.0)))
    return degrees(atan2(b - y, a - x)), extent if arc.clockwise else -extent
