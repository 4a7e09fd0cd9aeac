"""Compare by readings: a good board's log against a suspect's, or two channels.

Resistive readings are compared by their ratio, junctions by millivolts. Beside our
window, which holds what parts differ among themselves, stands the trade's rule that
sisters read within double or half of each other (common practice, no source).
"""

from collections.abc import Sequence
from math import inf, log
from typing import NamedTuple

from tracegraph.compare.logs import (
    NO_NAMES,
    Both,
    Logs,
    bench_word,
    in_both,
    number_of,
    word_of,
)
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.sister import Apart, ratio_of_tolerance, sisters_apart
from tracegraph.stage.reading import Mode, Shown
from tracegraph.stage.shown import shown
from tracegraph.stage.stage import Stage

DOUBLE = 2.0
JUNCTION_VOLTS = 0.05  # beyond it sisters' junctions are looked at; common practice
MOST = 1e3  # how far off a number is beside OL


class PairCompared(NamedTuple):
    """One pair of points read on both.

    Attributes:
        red: Net under the red probe, as the good section calls it.
        black: Net under the black probe.
        there: What both are called in the suspect section.
        mode: What the meter was set to.
        good: What stood on the display of the good one.
        suspect: What stood on the other.
        ratio: Suspect over good, where both are numbers and no volts.
        volts: Suspect less good in a diode test, where both are numbers.
        low: Least ratio, or volts, that healthy sisters show; None where not known.
        high: Greatest likewise.
        within: Whether it lies in that window; None where it is not known.
        double_or_half: Whether it keeps the trade's rule; None where it does not apply.
        differs: Whether the pair differs, all told.
        parts: What decides the reading, in the suspect's names.
        off: How far off it is: 1 at the edge of what is healthy.
    """

    red: str
    black: str
    there: tuple[str, str]
    mode: Mode
    good: str
    suspect: str
    ratio: float | None = None
    volts: float | None = None
    low: float | None = None
    high: float | None = None
    within: bool | None = None
    double_or_half: bool | None = None
    differs: bool = False
    parts: tuple[str, ...] = ()
    off: float = 0.0


def compare_readings(logs: Logs, profile: Profile) -> tuple[PairCompared, ...]:
    """Return every pair that both logs have read cold, the worst first.

    Of a pair read several times the last reading counts; readings are compared only
    if the bench stood alike. What is neither a number nor OL nor a beep is left out.
    """
    both = list(in_both(logs))
    expected = _expected(logs.good, both, profile)
    apart = _apart(logs.good, both, profile)
    found = [
        _compared(one, logs, expected.get(k), apart.get(k))
        for k, one in enumerate(both)
    ]
    return tuple(sorted(found, key=lambda one: -one.off))


def _expected(
    stage: Stage, both: Sequence[Both], profile: Profile
) -> dict[int, Expected]:
    """Return what the good section is expected to show, where it has both places."""
    found: dict[int, Expected] = {}
    for rows in _by_bench(stage, both).values():
        condition = both[rows[0]].good.condition
        probes = [Probe(both[k].red, both[k].black, both[k].good.mode) for k in rows]
        found |= dict(zip(rows, expect(stage, probes, profile, condition), strict=True))
    return found


def _by_bench(stage: Stage, both: Sequence[Both]) -> dict[str, list[int]]:
    found: dict[str, list[int]] = {}
    for k, one in enumerate(both):
        if stage.net(one.red) and stage.net(one.black):
            bench = bench_word(one.good.condition, NO_NAMES, NO_NAMES)
            found.setdefault(bench, []).append(k)
    return found


def _apart(stage: Stage, both: Sequence[Both], profile: Profile) -> dict[int, Apart]:
    """Return how far healthy sisters lie apart, for readings of the board as it lies."""
    found: dict[int, Apart] = {}
    plain = _by_bench(stage, both).get("", [])
    for mode in (Mode.OHMS, Mode.DIODE):
        rows = [k for k in plain if both[k].good.mode is mode]
        if rows and profile.scales(mode):
            pairs = [(both[k].red, both[k].black) for k in rows]
            found |= dict(
                zip(rows, sisters_apart(stage, pairs, mode, profile), strict=True)
            )
    return found


def _compared(
    one: Both, logs: Logs, expected: Expected | None, apart: Apart | None
) -> PairCompared:
    parts = expected.parts if expected else ()
    named = tuple(logs.parts.get(part, part) for part in parts)
    there = logs.nets.get(one.red, one.red), logs.nets.get(one.black, one.black)
    shell = PairCompared(
        one.red,
        one.black,
        there,
        one.good.mode,
        shown(one.good),
        shown(one.suspect),
        parts=named,
    )
    good, suspect = number_of(one.good), number_of(one.suspect)
    if good is None or suspect is None:
        return _words_only(shell, one, expected)
    if one.good.mode is Mode.DIODE:
        return _by_volts(shell, suspect - good, apart)
    if good <= 0 or suspect <= 0:
        return shell._replace(differs=good != suspect, off=MOST * (good != suspect))
    window = (apart.low, apart.high) if apart and not apart.unsure else None
    if one.good.mode is Mode.CAP and expected:
        window = ratio_of_tolerance(expected.low, expected.high)
    return _by_ratio(shell, suspect / good, window)


def _words_only(
    shell: PairCompared, one: Both, expected: Expected | None
) -> PairCompared:
    """Compare OL or a beep with what stands on the other display."""
    if word_of(one.good) == word_of(one.suspect):
        return shell._replace(within=True)
    lawful = expected is not None and _both_lawful(one, expected)
    off = 0.0 if lawful else MOST
    return shell._replace(within=lawful, differs=not lawful, off=off)


def _both_lawful(one: Both, expected: Expected) -> bool:
    """Return whether a healthy board may show OL as well as the number."""
    numbers = [number_of(reading) for reading in (one.good, one.suspect)]
    number = next((value for value in numbers if value is not None), None)
    if not expected.may_be_open or number is None or expected.low is None:
        return False
    return Shown.OPEN in {word_of(one.good), word_of(one.suspect)} and (
        number >= expected.low
    )


def _by_volts(shell: PairCompared, volts: float, apart: Apart | None) -> PairCompared:
    if apart is None or apart.unsure:
        off = abs(volts) / JUNCTION_VOLTS
        return shell._replace(volts=volts, differs=off > 1, off=off)
    within = apart.low <= volts <= apart.high
    edge = apart.high if volts > 0 else -apart.low
    off = abs(volts) / edge if edge > 0 else 0.0
    return shell._replace(
        volts=volts,
        low=apart.low,
        high=apart.high,
        within=within,
        differs=not within,
        off=off,
    )


def _by_ratio(
    shell: PairCompared, ratio: float, window: tuple[float, float] | None
) -> PairCompared:
    rule = 1 / DOUBLE <= ratio <= DOUBLE
    if window is None:
        off = abs(log(ratio)) / log(DOUBLE)
        return shell._replace(
            ratio=ratio, double_or_half=rule, differs=not rule, off=off
        )
    low, high = window
    within = low <= ratio <= high
    edge = high if ratio > 1 else low
    reach = abs(log(edge)) if 0 < edge < inf else inf
    off = abs(log(ratio)) / reach if reach else 0.0
    return shell._replace(
        ratio=ratio,
        low=low,
        high=high,
        within=within,
        double_or_half=rule,
        differs=not within,
        off=off,
    )
