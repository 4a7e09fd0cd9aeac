"""Every reading over one part's own pins, and what a pass does not prove."""

from collections.abc import Iterator, Mapping, Sequence

from tracegraph.meter.expected import Expected
from tracegraph.stage.part import Part
from tracegraph.stage.proof import not_proven
from tracegraph.stage.reading import Mode
from tracegraph.views.expected_page import MODES, settling
from tracegraph.views.page import (
    GAP,
    Block,
    Entries,
    Entry,
    Line,
    Page,
    Table,
    Tone,
    caution,
    title,
)
from tracegraph.views.words import standing, window

# Modes whose reason is told, the one that says most of a part first.
TELLING = (Mode.DIODE, Mode.OHMS, Mode.CAP, Mode.BEEP)

Pair = tuple[str, str]


def part_page(
    parts: Sequence[Part], answers: Sequence[Expected], cautions: Sequence[str] = ()
) -> Page:
    """Return what a good part shows in its place, every pair and direction.

    Args:
        parts: The part, or the units of its package.
        answers: Expected readings over its pins.
        cautions: What to heed before probing.
    """
    first = answers[0]
    return (
        *(title(_heading(part)) for part in parts),
        Line(standing(first.condition, first.meter), Tone.FAINT),
        *map(caution, cautions),
        GAP,
        title("What a good one shows in its place"),
        _table(answers),
        GAP,
        title("Why (red first)"),
        Entries(_reasons(answers)),
        *_proof(parts, answers),
        *settling(answers),
    )


def _heading(part: Part) -> str:
    pins = ", ".join(f"{name} on {net}" for name, net in part.pins.items())
    return f"{part.ref}, {part.kind.title}: {pins}"


def _table(answers: Sequence[Expected]) -> Table:
    """Return one row a pair and direction, one column a mode."""
    modes = list(dict.fromkeys(one.mode for one in answers))
    rows = (
        (*pair, *(_cell(found.get(mode)) for mode in modes))
        for pair, found in _by_pair(answers).items()
    )
    return Table(("red", "black", *(MODES[mode] for mode in modes)), tuple(rows))


def _by_pair(answers: Sequence[Expected]) -> dict[Pair, dict[Mode, Expected]]:
    found: dict[Pair, dict[Mode, Expected]] = {}
    for one in answers:
        found.setdefault((one.red, one.black), {})[one.mode] = one
    return found


def _cell(one: Expected | None) -> str:
    if one is None:
        return ""
    if one.error:
        return "no answer"
    span = window(one.low, one.high, one.unit)
    return one.display if span in {"", one.display} else f"{one.display} ({span})"


def _reasons(answers: Sequence[Expected]) -> tuple[Entry, ...]:
    """Return why each pair reads so; pairs that nothing joins have no reason."""
    return tuple(
        Entry(f"{red} {black}", MODES[told.mode], tuple(_why(told, found)))
        for (red, black), found in _by_pair(answers).items()
        if (told := _telling(found)).parts or told.display != "OL"
    )


def _telling(found: Mapping[Mode, Expected]) -> Expected:
    """Return the mode that says most of what lies between two pins."""
    return next(found[mode] for mode in TELLING if mode in found)


def _why(told: Expected, found: Mapping[Mode, Expected]) -> Iterator[Line]:
    yield Line(told.error or f"{told.display}: {told.reason}.")
    early: dict[str, Mode] = {}
    for mode in TELLING:
        if mode in found and found[mode].early:
            early.setdefault(found[mode].early, mode)
    for words, mode in early.items():
        mark = "" if mode is told.mode else f"{MODES[mode]}: "
        yield Line(f"Watch it: {words}.", mark=mark)


def _proof(parts: Sequence[Part], answers: Sequence[Expected]) -> Iterator[Block]:
    yield GAP
    yield title("What a pass does not prove")
    for words in dict.fromkeys(not_proven(part.kind) for part in parts):
        yield Line(f"{words[0].upper()}{words[1:]}.", indent=2, mark="- ")
    refs = {part.ref for part in parts}
    hidden = dict.fromkeys(ref for one in answers for ref in one.hidden)
    for ref in hidden:
        words = "cannot be told in place" if ref in refs else "is not observable here"
        cure = "lift a leg to test it" if ref in refs else "it lies across these pins"
        yield Line(f"{ref} {words}: {cure}.", indent=2, mark="- ")
