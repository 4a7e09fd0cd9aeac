"""An expected reading as a colleague would note it: the number first, then why."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from tracegraph.meter.expected import Bound, Case, Expected
from tracegraph.stage.reading import Mode
from tracegraph.views.page import (
    GAP,
    Block,
    Entries,
    Entry,
    Line,
    Page,
    Tone,
    caution,
    title,
)
from tracegraph.views.words import standing, window

FEW = 4  # cases, and unknowns, that are listed one by one

MODES = {
    Mode.OHMS: "ohms",
    Mode.DIODE: "diode",
    Mode.BEEP: "beep",
    Mode.CAP: "cap",
    Mode.VOLTS: "volts",
}


def expected_page(
    heading: str, answers: Sequence[Expected], cautions: Sequence[str] = ()
) -> Page:
    """Return the readings of one pair of points, direction by direction.

    Args:
        heading: What the section is called.
        answers: Expected readings; each direction's modes are put together.
        cautions: What to heed before probing.
    """
    first = answers[0]
    return (
        title(heading) if heading else GAP,
        Line(standing(first.condition, first.meter), Tone.FAINT),
        *map(caution, cautions),
        *_directions(answers),
        *settling(answers),
    )


def _directions(answers: Sequence[Expected]) -> Iterator[Block]:
    order = {(one.red, one.black): None for one in answers}
    rank = list(order)
    ordered = sorted(answers, key=lambda one: rank.index((one.red, one.black)))
    for (red, black), same in groupby(ordered, key=lambda one: (one.red, one.black)):
        yield GAP
        yield title(f"Red on {red}, black on {black}")
        yield Entries(tuple(_entry(one) for one in same))


def _entry(one: Expected) -> Entry:
    """Return one reading: what the display shows, and all that is said of it."""
    label = MODES[one.mode]
    if one.error:
        return Entry("no answer", label, (Line(_sentence(one.error), Tone.ASK),))
    return Entry(one.display, label, tuple(_said(one)))


def healthy(one: Expected) -> str:
    """Return the window of a healthy board, with the parts' limits where they differ."""
    usual = window(one.low, one.high, one.unit)
    if not usual:
        return ""
    worst = window(one.worst_low, one.worst_high, one.unit)
    limits = f"; {worst} at the very limits" if worst not in {"", usual} else ""
    return f"{usual}{' or OL' if one.may_be_open else ''} if healthy{limits}."


def _said(one: Expected) -> Iterator[Line]:
    span = "" if 1 < len(one.cases) <= FEW else healthy(one)
    if span:
        yield Line(span)
    if one.reason:
        yield Line(_sentence(one.reason))
    if one.early:
        yield Line(_sentence(f"watch it: {one.early}"))
    yield from _cases(one)
    yield from _unknowns(one)
    if one.hidden:
        yield Line(
            f"Not observable here: {', '.join(one.hidden)}; missing or shorted, the "
            "display stays the same."
        )
    blind = [ref for ref in one.unproven if ref not in one.hidden]
    if blind:
        yield Line(f"If {' or '.join(blind)} were open it would not show here.")
    if one.ask and not one.uncertain:
        yield Line(_sentence(one.ask), Tone.ASK)


def _cases(one: Expected) -> Iterator[Line]:
    """Yield what a healthy board may lawfully show, where that is more than one thing."""
    if len(one.cases) < 2:
        return
    for case in one.cases[:FEW]:
        when = f": {case.why}" if case.why else ""
        yield Line(f"{_shown(case, one.unit)}{when}", mark="- ")
    if len(one.cases) > FEW:
        yield Line(f"and {len(one.cases) - FEW} more", mark="- ")


def _shown(case: Case, unit: str) -> str:
    """Return what a case shows, with its window: `0.72 V (0.68 to 0.76 V)`."""
    span = window(case.low, case.high, unit)
    if not span or span == case.display:
        return case.display
    return f"OL, or {span}" if case.display == "OL" else f"{case.display} ({span})"


def _unknowns(one: Expected) -> Iterator[Line]:
    for words in one.uncertain[:FEW]:
        yield Line(_sentence(words))
    if len(one.uncertain) > FEW:
        yield Line(f"It depends on {len(one.uncertain) - FEW} more unknowns.")
    bounds = {
        Bound.AT_MOST: ("at most", one.worst_high, "can only lower it"),
        Bound.AT_LEAST: ("at least", one.worst_low, "can only raise it"),
    }
    if one.bound in bounds:
        words, limit, effect = bounds[one.bound]
        value = window(limit, limit, one.unit)
        yield Line(
            f"{words.capitalize()} {value}: what is unknown {effect}."
            if value
            else f"What is unknown {effect}."
        )


def settling(answers: Sequence[Expected]) -> tuple[Block, ...]:
    """Return the things to do about what is uncertain, each once, the commonest first."""
    asks = [one.ask for one in answers if one.ask and one.uncertain]
    found = sorted(dict.fromkeys(asks), key=lambda ask: -asks.count(ask))
    if not found:
        return ()
    lines = (Line(_sentence(ask), Tone.ASK, indent=2, mark="- ") for ask in found)
    return (GAP, title("To settle it, then ask again"), *lines)


def _sentence(words: str) -> str:
    """Return words as a sentence; a name at the start keeps its own letters."""
    first, *rest = words.split(" ", 1)
    start = first.capitalize() if first.isalpha() and first.islower() else first
    return " ".join([start, *rest]).rstrip(".") + "."
