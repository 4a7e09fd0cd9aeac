"""What each part of a section is for: its role by its place, and what shows without it."""

from collections.abc import Iterator, Sequence
from itertools import chain

from tracegraph.display import show
from tracegraph.purpose.actors import Actor, actors
from tracegraph.purpose.cold import read_cold
from tracegraph.purpose.edges import Edges
from tracegraph.purpose.findings import Look, findings, gathered
from tracegraph.purpose.held import FILTERS, PULLS, smoothed, still_held
from tracegraph.purpose.result import Deed, Finding, Purpose, Purposes
from tracegraph.purpose.scenes import Scene, Scenes, scenes
from tracegraph.purpose.telling import Teller
from tracegraph.stage.duties.around import Around
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.duties.every import duty
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage


def purpose(stage: Stage, refs: Sequence[str] | None = None) -> Purposes:
    """Return what the parts of a section are for.

    Args:
        stage: The section.
        refs: Designators; every part if left out. What was asked for is looked at
            closer: more waves, and what the meter shows of it cold.

    Raises:
        KeyError: The section has no such part.
    """
    wanted = [one for one in stage.parts if refs is None]
    for ref in refs or ():
        part = stage.part(ref)
        if part is None:
            raise KeyError(ref)
        wanted.append(part)
    names = None if refs is None else {one.ref for one in wanted}
    stood = scenes(stage, names)
    words = tuple(one.words for one in stood.scenes)
    acting = actors(stood.stage.parts, (one.base for one in stood.scenes))
    teller, around = Teller(acting, words), Around(stage)
    edges = Edges(stood.stage, thorough=refs is not None)
    found = []
    for part in wanted:
        known = duty(around, part) if part.fitted else None
        changes = chain(
            (one for look in _looks(stood, acting, part) for one in findings(look)),
            edges.findings(part, known.name if known else ""),
        )
        nearest = dict.fromkeys(part.pins.values(), 0)
        seen = gathered(changes, nearest)
        if known and PULLS.search(known.name):
            seen = (*seen, *still_held(around, part, known.name, stood.scenes))
        if known and known.name in FILTERS:
            seen = (*seen, *smoothed(around, part, stood.scenes))
        if refs is not None and part.fitted:
            seen = (*seen, *read_cold(stage, part))
        found.append(teller.told(_purpose(part, known, seen, stood.scenes)))
    untold = (*stood.untold, *edges.untold.values())
    return Purposes(tuple(found), words, stood.taken, untold)


def _looks(stood: Scenes, acting: tuple[Actor, ...], part: Part) -> Iterator[Look]:
    for scene in stood.scenes:
        for deed, boards in (
            (Deed.WITHOUT, scene.without),
            (Deed.SHORTED, scene.shorted),
        ):
            now = boards.get(part.ref)
            if now is not None:
                words = scene.words
                yield Look(stood.stage, acting, part, deed, words, scene.base, now)


def _purpose(
    part: Part,
    known: Duty | None,
    found: tuple[Finding, ...],
    stood: Sequence[Scene],
) -> Purpose:
    unsettled = [
        one.words for one in stood if one.without.get(part.ref, one.base) is None
    ]
    return Purpose(
        part.ref,
        part.kind.title,
        _value(part),
        tuple(dict.fromkeys(part.pins.values())),
        known.name if known else "",
        known.lost if known else "",
        found,
        _untold(part, unsettled),
        absent=not part.fitted,
    )


def _untold(part: Part, unsettled: Sequence[str]) -> str:
    if not part.fitted:
        return f"it is {part.status.value}"
    if unsettled:
        return f"no steady level was found without it {' and '.join(unsettled)}"
    return ""


def _value(part: Part) -> str:
    """Return a part's value as it is read, or empty."""
    symbol = part.kind.value
    if not symbol or not part.has(symbol):
        return ""
    quantity = part.quantity(symbol)
    if quantity.typical is None:
        return "value not known"
    return show(quantity.typical, quantity.unit)
