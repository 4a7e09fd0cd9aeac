"""What dot makes of parts and nets as nodes and pins as edges, measured."""

from collections.abc import Iterator
from itertools import combinations, pairwise
from math import atan2, degrees, dist, pi
from time import perf_counter
from typing import Any

from tests.draw.extent import Line, line_box
from tests.draw.geometry import meet
from tests.draw.score import Score
from tracegraph.draw.dot import placed
from tracegraph.draw.shapes import Point
from tracegraph.stage.stage import Stage

UNITS = 96 / 72 / 10
"""Grid units of ten pixels to a point, at the 96 pixels of an inch of CSS."""

STEPS = 6
SHARP = 20.0
"""Degrees that an edge turns by and is no longer straight to the eye."""


def dot_score(stage: Stage) -> tuple[Score, float]:
    """Return how good plain dot's picture of a section's nets is, and its seconds."""
    start = perf_counter()
    answer = placed("\n".join(("graph {", "rankdir=LR", *_lines(stage), "}")))
    seconds = perf_counter() - start
    return _score(stage, answer), seconds


def _score(stage: Stage, answer: dict[str, Any]) -> Score:
    edges = [(one["tail"], one["head"], _way(one)) for one in answer.get("edges", ())]
    width, height = (float(one) * UNITS for one in answer["bb"].split(",")[2:])
    return Score(
        len(stage.parts),
        1,
        sum(_crossings(one, other) for one, other in combinations(edges, 2)),
        sum(_turns(way) for _, _, way in edges),
        sum(dist(a, b) for _, _, way in edges for a, b in pairwise(way)) * UNITS,
        width * height,
    )


def _lines(stage: Stage) -> Iterator[str]:
    nets = {net: f"n{k}" for k, net in enumerate(stage.nets)}
    for net, name in nets.items():
        yield f"{name} [label={_quoted(net)} shape=plain]"
    for k, part in enumerate(stage.parts):
        yield f"p{k} [label={_quoted(part.ref)} shape=box]"
        yield from (f"p{k} -- {nets[net]}" for net in part.pins.values())


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _way(edge: dict[str, Any]) -> list[Point]:
    """Return points along an edge, a chain of cubic curves."""
    knots = [
        (float(x), float(y))
        for x, y in (pair.split(",") for pair in edge["pos"].split())
    ]
    way = knots[:1]
    for k in range(0, len(knots) - 1, 3):
        a, b, c, d = knots[k : k + 4]
        for step in range(1, STEPS + 1):
            t = step / STEPS
            shares = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t**2 * (1 - t), t**3
            way.append(_mix((a, b, c, d), shares))
    return way


def _mix(points: tuple[Point, ...], shares: tuple[float, ...]) -> Point:
    xs, ys = zip(*points, strict=True)
    return (
        sum(x * share for x, share in zip(xs, shares, strict=True)),
        sum(y * share for y, share in zip(ys, shares, strict=True)),
    )


def _turns(way: list[Point]) -> int:
    """Return at how many places an edge has turned by more than the eye lets pass."""
    found, held = 0, None
    for a, b in pairwise(way):
        angle = atan2(b[1] - a[1], b[0] - a[0])
        if held is None:
            held = angle
        elif degrees(abs((angle - held + pi) % (2 * pi) - pi)) > SHARP:
            found, held = found + 1, angle
    return found


Edge = tuple[int, int, list[Point]]


def _crossings(one: Edge, other: Edge) -> int:
    """Return how often two edges cross; those that share a node meet there only."""
    if {*one[:2]} & {*other[:2]}:
        return 0
    return sum(
        _cross(a, b) for a in pairwise(one[2]) for b in pairwise(other[2]) if meet(a, b)
    )


def _cross(one: Line, other: Line) -> bool:
    """Return whether two lines run through each other: ends on either side."""
    if line_box(one) == line_box(other):
        return False
    return _parted(one, other) and _parted(other, one)


def _parted(line: Line, ends: Line) -> bool:
    (x, y), (u, v) = line
    sides = [(u - x) * (b - y) - (v - y) * (a - x) for a, b in ends]
    return sides[0] * sides[1] < 0
