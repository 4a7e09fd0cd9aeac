"""Groups of parts that meet each other and nothing else."""

from collections.abc import Iterator

from tracegraph.diagnostics import Problem, doubt
from tracegraph.stage.checks.text import Unread
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

_NAMED = 4


def islands(stage: Stage, unread: Unread) -> Iterator[Problem]:
    """Yield groups of parts that no part, link or rest joins to the others.

    A group with a ground or a rail of its own may well stand by itself.
    """
    groups = sorted(_groups(stage), key=len, reverse=True)
    fixed = {one.net for one in stage.grounds} | {one.net for one in stage.rails}
    for group in groups[1:]:
        parts = [part for part in stage.parts if part.ref in group]
        own = {net for part in parts for net in part.pins.values()}
        loose = all(set(part.pins) <= part.untraced for part in parts)
        if loose or own & fixed or any(unread.has(net) for net in own):
            continue
        if not any(unread.placed(part) for part in parts):
            yield _ask(parts)


def _ask(parts: list[Part]) -> Problem:
    names = ", ".join(part.ref for part in parts[:_NAMED])
    more = f" and {len(parts) - _NAMED} more" if len(parts) > _NAMED else ""
    verb = "joins" if len(parts) == 1 else "join"
    message = f"{names}{more} {verb} nothing else in this section."
    hint = "Is a net missing or spelt otherwise? Nothing can be read across the gap."
    return doubt("island", message, parts[0].placed, hint)


def _groups(stage: Stage) -> list[set[str]]:
    """Return the designators of parts that hang together, group by group."""
    beside = _neighbours(stage)
    left = dict.fromkeys(part.ref for part in stage.parts)
    groups = []
    while left:
        reached: set[str] = set()
        edge = [next(iter(left))]
        while edge:
            name = edge.pop()
            if name not in reached:
                reached.add(name)
                edge += beside.get(name, ())
        group = {ref for ref in left if ref in reached}
        groups.append(group)
        for ref in group:
            del left[ref]
    return groups


def _neighbours(stage: Stage) -> dict[str, list[str]]:
    """Return what is next to each part and each net (`net:` before its name)."""
    pairs = [
        (one.ref, f"net:{net}") for one in stage.parts for net in one.pins.values()
    ]
    joints = [(link.a, link.b) for link in stage.links]
    joints += [(rest.a, rest.b) for rest in stage.rests]
    joints += [(rail.net, rail.over) for rail in stage.rails if rail.over]
    pairs += [(f"net:{a}", f"net:{b}") for a, b in joints]
    pairs += [(one.package, one.ref) for one in stage.parts if one.package != one.ref]
    beside: dict[str, list[str]] = {}
    for a, b in pairs:
        beside.setdefault(a, []).append(b)
        beside.setdefault(b, []).append(a)
    return beside
