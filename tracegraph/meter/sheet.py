"""Which pairs are worth probing, the most telling first, and what each should read."""

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Bound, Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.rests import rests_asked
from tracegraph.stage.reading import AS_IT_LIES, Condition, Mode
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage

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
    fail before parts that seldom do.

    Args:
        stage: The section.
        profile: The meter.
        condition: How the bench stands; it must be cold.
        short: Leave it at so many rows.
        every: Every pair of nets in every mode, in file order.
    """
    pairs = (
        [_Pair(*two, "") for two in combinations(stage.nets, 2)]
        if every
        else _worth(stage)
    )
    rows = _rows(stage, pairs, profile, condition)
    if not every:
        rests = [row for row in rows if row.why == "rest"]
        rows = rests + _most_telling_first(
            stage, [row for row in rows if row.why != "rest" and _tells(row)]
        )
    return tuple(rows[:short])


def _rows(
    stage: Stage, pairs: list[_Pair], profile: Profile, condition: Condition
) -> list[SheetRow]:
    modes = [mode for mode in MODES if profile.scales(mode)]
    asked = [(pair, mode) for pair in pairs for mode in modes]
    probes = [
        Probe(*ends, mode)
        for pair, mode in asked
        for ends in ((pair.a, pair.b), (pair.b, pair.a))
    ]
    answers = iter(expect(stage, probes, profile, condition))
    return [SheetRow(pair.why, next(answers), next(answers)) for pair, _ in asked]


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


def _tells(row: SheetRow) -> bool:
    """Return whether a row says something that its other mode does not say better.

    Resistance is read in ohms; anything through a junction in diode test.
    """
    both = (row.forward, row.backward)
    if any(one.error for one in both):
        return False
    junction = any(one.bound is Bound.ANYTHING or len(one.cases) > 1 for one in both)
    differs = row.forward.display != row.backward.display
    if row.forward.mode is Mode.DIODE:
        return differs or junction
    return not differs and not junction


def _most_telling_first(stage: Stage, rows: list[SheetRow]) -> list[SheetRow]:
    """Return rows in the order in which they test parts not yet tested, the riskier first."""
    rates = {part.ref: part.kind.rate for part in stage.parts}
    left, ordered, tested = list(rows), [], set[str]()
    while left:
        best = max(left, key=lambda row: _news(row, rates, tested))
        left.remove(best)
        ordered.append(best)
        tested |= set(_parts(best))
    return ordered


def _news(
    row: SheetRow, rates: dict[str, float], tested: set[str]
) -> tuple[bool, bool, float]:
    """Return how much a reading tells that none before it has told.

    A reading that a few untested parts decide tells most; one through many tells
    little of each.
    """
    parts = _parts(row)
    new = sum(rates.get(ref, 0.0) for ref in parts if ref not in tested)
    certain = not row.forward.uncertain and not row.backward.uncertain
    return certain, new > 0, new / max(len(parts), 1) - 1e-3 * len(parts)


def _parts(row: SheetRow) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*row.forward.parts, *row.backward.parts)))
