"""Which pairs are worth probing, the most telling first, and what each should read."""

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

import numpy as np

from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.reason import reasons
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.meter.unknowns.rests import rests_asked
from tracegraph.meter.unknowns.table import Table
from tracegraph.stage.reading import AS_IT_LIES, Condition, Mode
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import on_bench

MODES = (Mode.DIODE, Mode.OHMS)
MANY_PINS = 4  # a part with more is probed from each pin to ground, not pin to pin


class SheetRow(NamedTuple):
    """One pair of points in one mode, both directions side by side.

    Attributes:
        why: Why it is worth probing: `rest`, `R11`, `to COM`; empty if just a pair.
        forward: Expected one way round.
        backward: Expected the other way round.
    """

    why: str
    forward: Expected
    backward: Expected


class _Pair(NamedTuple):
    a: str
    b: str
    why: str


class _Look(NamedTuple):
    """A pair in one mode on the usual board: enough to tell whether it is worth it.

    Attributes:
        pair: The pair.
        mode: What the meter is set to.
        bent: Whether a junction decides the reading, either way round.
        differs: Whether it reads otherwise the other way round.
        parts: What carries the current.
    """

    pair: _Pair
    mode: Mode
    bent: bool
    differs: bool
    parts: tuple[str, ...]


def sheet(
    stage: Stage,
    profile: Profile,
    condition: Condition = AS_IT_LIES,
    *,
    short: int | None = None,
    every: bool = False,
) -> tuple[SheetRow, ...]:
    """Return the readings worth taking, the most telling first.

    What hangs on rails and plugs comes first, if it is not known; then pairs in the
    order in which they test parts that no reading before has tested, parts that often
    fail before parts that seldom do; what depends on unknowns comes last.

    Args:
        stage: The section.
        profile: The meter.
        condition: How the bench stands; it must be cold.
        short: Leave it at so many rows.
        every: Every pair of nets in every mode, in file order.
    """
    section = on_bench(stage, condition)
    pairs = _every(section) if every else _worth(section)
    asked = [(pair, mode) for pair in pairs for mode in MODES if profile.scales(mode)]
    if not every:
        looks = _looks(section, pairs, profile)
        rests = [look for look in looks if look.pair.why == "rest"]
        telling = [one for one in looks if one.pair.why != "rest" and _tells(one)]
        chosen = (*rests, *_most_telling_first(section, telling))
        asked = [(look.pair, look.mode) for look in chosen]
    rows = _rows(stage, asked[:short], profile, condition)
    return tuple(rows if every else sorted(rows, key=_depends))


def _depends(row: SheetRow) -> bool:
    """Return whether a row, other than a rest, waits for something unknown."""
    unsure = row.forward.uncertain or row.backward.uncertain
    return row.why != "rest" and bool(unsure)


def _looks(section: Stage, pairs: list[_Pair], profile: Profile) -> list[_Look]:
    """Return what the usual board says of all pairs, both ways round."""
    boards = Boards(section, unknowns(section))
    ways = [way for pair in pairs for way in ((pair.a, pair.b), (pair.b, pair.a))]
    found: list[_Look] = []
    for mode in MODES:
        if not profile.scales(mode) or not ways:
            continue
        table = Table(boards, ways, mode, profile, others=False)
        why = reasons(section, table)
        back = table.values[0].reshape(-1, 2)[:, ::-1].reshape(-1)
        differs = ~table.same(back, np.arange(len(ways)))
        for k, pair in enumerate(pairs):
            both = slice(2 * k, 2 * k + 2)
            parts = dict.fromkeys(ref for one in why[both] for ref in one.parts)
            bent, other = bool(table.bent[0, both].any()), bool(differs[2 * k])
            found.append(_Look(pair, mode, bent, other, tuple(parts)))
    return found


def _rows(
    stage: Stage,
    asked: list[tuple[_Pair, Mode]],
    profile: Profile,
    condition: Condition,
) -> list[SheetRow]:
    probes = [
        Probe(*ends, mode)
        for pair, mode in asked
        for ends in ((pair.a, pair.b), (pair.b, pair.a))
    ]
    answers = iter(expect(stage, probes, profile, condition))
    return [SheetRow(pair.why, next(answers), next(answers)) for pair, _ in asked]


def _every(stage: Stage) -> list[_Pair]:
    return [_Pair(*two, "") for two in combinations(stage.nets, 2)]


def _worth(stage: Stage) -> list[_Pair]:
    """Return pairs of nets worth probing, each once, rest readings first."""
    found: dict[frozenset[str], _Pair] = {}
    for pair in (*_rests(stage), *_across(stage), *_to_reference(stage)):
        if pair.a != pair.b:
            found.setdefault(frozenset((pair.a, pair.b)), pair)
    return list(found.values())


def _rests(stage: Stage) -> Iterator[_Pair]:
    for net, ground in rests_asked(stage):
        yield _Pair(net, ground, "rest")


def _across(stage: Stage) -> Iterator[_Pair]:
    """Yield every part across its own pins."""
    for part in stage.parts:
        if part.fitted and len(part.pins) <= MANY_PINS:
            for a, b in combinations(part.pins.values(), 2):
                yield _Pair(a, b, part.ref)


def _to_reference(stage: Stage) -> Iterator[_Pair]:
    """Yield every net to its ground, and to the rails that stand on that ground."""
    grounds = grounds_of(stage)
    for net in stage.nets:
        ground = grounds.get(net)
        if ground is None:
            continue
        yield _Pair(net, ground, f"to {ground}")
        for rail in stage.rails:
            if rail.over == ground and rail.net != net:
                yield _Pair(net, rail.net, f"to {rail.net}")


def _tells(look: _Look) -> bool:
    """Return whether a mode says something that the other does not say better.

    Resistance is read in ohms; anything through a junction in diode test.
    """
    junction = look.bent or look.differs
    return junction if look.mode is Mode.DIODE else bool(look.parts) and not junction


def _most_telling_first(stage: Stage, looks: list[_Look]) -> list[_Look]:
    """Return looks in the order in which they test parts not yet tested.

    A reading that a few untested parts decide tells most, the riskier parts before the
    others; one through many tells little of each.
    """
    rates = {part.ref: part.kind.rate for part in stage.parts}
    left, ordered, tested = list(looks), list[_Look](), set[str]()
    while left:
        best = max(left, key=lambda look: _news(look.parts, rates, tested))
        left.remove(best)
        ordered.append(best)
        tested |= set(best.parts)
    return ordered


def _news(
    parts: tuple[str, ...], rates: dict[str, float], tested: set[str]
) -> tuple[bool, float]:
    new = sum(rates.get(ref, 0.0) for ref in parts if ref not in tested)
    return new > 0, new / max(len(parts), 1) - 1e-3 * len(parts)
