"""Suspects laid over the drawing, by rank, and the readings that were taken."""

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from tracegraph.diagnose.verdict import Sort, Suspect, Verdict
from tracegraph.draw.overlay import (
    Between,
    Join,
    Mark,
    OnNet,
    OnPart,
    Overlay,
    Role,
    Target,
)
from tracegraph.stage.change import Cut, Split, Tie
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Reading
from tracegraph.stage.stage import Stage
from tracegraph.views.reading_words import (
    closed,
    per_cent,
    sentence,
    shown,
    suspected,
    told,
)
from tracegraph.views.suspects_page import LEAST

RANKS = 9  # groups that are marked
NAMED = 5  # groups that are told under the picture
TITLE = "suspects, by the readings"
TAKEN = (
    "readings taken: red on the net, black on its ground; reversed: the other way "
    "round; !: odd"
)


class Accused(NamedTuple):
    """A suspect with the rank and the chance of its group."""

    rank: int
    chance: float
    suspect: Suspect


def suspects_overlay(verdict: Verdict, stage: Stage) -> Overlay:
    """Return a diagnosis as a layer: suspects by rank, then readings where there is room.

    Args:
        verdict: The diagnosis.
        stage: The section.
    """
    accused = [
        Accused(rank, group.chance, one)
        for rank, group in enumerate(verdict.groups[:RANKS], 1)
        if group.chance >= LEAST
        for one in group.suspects
    ]
    readings = tuple(_readings(verdict, stage))
    return Overlay(
        TITLE,
        (*_marks(accused, stage), *readings),
        joins=tuple(_joins(accused, stage)),
        legend=(*_legend(verdict), *((TAKEN,) if readings else ())),
    )


def _marks(accused: Sequence[Accused], stage: Stage) -> Iterator[Mark]:
    """Yield one mark a target, with its best rank and all that is said of it."""
    found: dict[Target, list[Accused]] = {}
    for one in accused:
        for target in _targets(one.suspect, stage):
            found.setdefault(target, []).append(one)
    for target, some in found.items():
        best = min(one.rank for one in some)
        first = [one.suspect for one in some if one.rank == best]
        names = dict.fromkeys(_named(one, target) for one in first)
        more = "\n".join(map(_long, some))
        yield Mark(target, Role.SUSPECT, " / ".join(names), best, more)


def _named(one: Suspect, target: Target) -> str:
    """Return a suspect in a few letters: what ails it, or what else fails with it."""
    if one.sort is not Sort.SEVERAL:
        return one.name
    others = [ref for ref in one.parts if target != OnPart(ref)]
    return f"with {', '.join(others)}" if others else one.name


def _targets(one: Suspect, stage: Stage) -> Iterator[Target]:
    """Yield where a suspect is to be seen; nets only where nothing else tells it."""
    found: list[Target] = [OnPart(ref) for ref in one.parts if stage.part(ref)]
    for change in one.changes:
        if isinstance(change, Cut) and change.pin.part not in one.parts:
            found.append(change.pin)
        elif isinstance(change, Split):
            found.append(_parted(change, stage))
    if not found and not any(_ties(one, stage)):
        found += [OnNet(net) for net in one.nets if stage.net(net)]
    yield from dict.fromkeys(found)


def _parted(change: Split, stage: Stage) -> Target:
    """Return the wire that a split breaks: from a pin that parts to one that stays."""
    name = stage.net(change.net)
    stay = [pin for pin in stage.nets[name] if pin not in change.pins] if name else []
    first: Pin = change.pins[0]
    return Between(first, stay[0]) if stay else first


def _joins(accused: Sequence[Accused], stage: Stage) -> Iterator[Join]:
    """Yield bridges and missed paths, each pair of nets once with its best rank."""
    found: dict[frozenset[str], list[Accused]] = {}
    for one in accused:
        for ends in _ties(one.suspect, stage):
            found.setdefault(frozenset(ends), []).append(one)
    for nets, some in found.items():
        a, b = sorted(nets)
        best = min(one.rank for one in some)
        more = "\n".join(map(_long, some))
        yield Join(a, b, Role.SUSPECT, more=more, rank=best)


def _ties(one: Suspect, stage: Stage) -> Iterator[tuple[str, str]]:
    """Yield nets that a suspect joins outside the parts it blames."""
    blamed = [set(part.pins.values()) for ref in one.parts if (part := stage.part(ref))]
    for change in one.changes:
        if isinstance(change, Tie):
            a, b = stage.net(change.a), stage.net(change.b)
            if a and b and a != b and not any({a, b} <= nets for nets in blamed):
                yield a, b


def _long(one: Accused) -> str:
    return f"{one.rank}. {suspected(one.suspect)}: {per_cent(one.chance)}."


def _readings(verdict: Verdict, stage: Stage) -> Iterator[Mark]:
    """Yield the readings, one mark a net; odd ones carry a `!`."""
    odd = [one.reading for one in verdict.odd]
    grounds = {ground.net for ground in stage.grounds}
    found: dict[str, list[tuple[str, Reading]]] = {}
    for reading in verdict.readings:
        net, text = _placed(reading, stage, grounds)
        if net:
            text += " !" if reading in odd else ""
            found.setdefault(net, []).append((text, reading))
    for net, some in found.items():
        text = " · ".join(text for text, _ in some)
        more = "\n".join(closed(told(one)) for _, one in some)
        yield Mark(OnNet(net), Role.READING, text, more=more)


def _placed(
    one: Reading, stage: Stage, grounds: Collection[str]
) -> tuple[str | None, str]:
    """Return the net that a reading stands at, and its few letters."""
    red, black = stage.net(one.red), stage.net(one.black)
    if black in grounds:
        return red, shown(one)
    if red in grounds:
        return black, f"{shown(one)} reversed"
    return red, f"{shown(one)} to {one.black}"


def _legend(verdict: Verdict) -> Iterator[str]:
    yield sentence(verdict.words)
    for rank, group in enumerate(verdict.groups[:NAMED], 1):
        if group.chance >= LEAST:
            names = "; or ".join(suspected(one) for one in group.suspects[:3])
            rest = len(group.suspects) - 3
            more = f"; or {rest} more" if rest > 0 else ""
            yield f"{rank}. {per_cent(group.chance)}: {names}{more}"
