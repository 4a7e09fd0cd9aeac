"""Every reading over one part's own pins, and what a pass does not prove."""

from collections.abc import Iterator, Mapping, Sequence

from tracegraph.meter.expected import Expected
from tracegraph.stage.part import Part
from tracegraph.stage.proof import not_proven
from tracegraph.stage.reading import Mode
from tracegraph.views.expected_page import MODES, settling
from tracegraph.views.page import GAP, Block, Line, Page, Table, Tone, caution, title
from tracegraph.views.words import standing, window

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
        *_notes(answers),
        *_proof(parts, answers),
        *settling(answers),
    )


def _heading(part: Part) -> str:
    pins = ", ".join(f"{name} on {net}" for name, net in part.pins.items())
    return f"{part.ref}, {part.kind.title}: {pins}"


def _table(answers: Sequence[Expected]) -> Table:
    """Return one row a pair and direction, one column a mode."""
    modes = list(dict.fromkeys(one.mode for one in answers))
    by_pair: dict[Pair, dict[Mode, Expected]] = {}
    for one in answers:
        by_pair.setdefault((one.red, one.black), {})[one.mode] = one
    rows = (
        (*pair, *(_cell(found.get(mode)) for mode in modes), _why(found))
        for pair, found in by_pair.items()
    )
    return Table(("red", "black", *(MODES[mode] for mode in modes), "why"), tuple(rows))


def _cell(one: Expected | None) -> str:
    if one is None:
        return ""
    if one.error:
        return "no answer"
    span = window(one.low, one.high, one.unit)
    return one.display if span in {"", one.display} else f"{one.display}\n({span})"


def _why(found: Mapping[Mode, Expected]) -> str:
    """Return the reason of the diode test, or of the mode that stands in for it."""
    told = (found.get(mode) for mode in (Mode.DIODE, Mode.OHMS, Mode.CAP, Mode.BEEP))
    one = next((one for one in told if one), None)
    return (one.error or one.reason) if one else ""


def _notes(answers: Sequence[Expected]) -> Iterator[Block]:
    """Yield what is seen early, once for each pair and mode that moves."""
    for one in answers:
        if one.early:
            where = f"Red {one.red}, black {one.black}, {MODES[one.mode]}"
            yield Line(f"{where}: {one.early}.", mark="- ", indent=2)


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
