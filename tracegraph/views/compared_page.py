"""What differs from a known-good section, how to confirm it, and what is lost by it."""

from collections.abc import Iterator, Sequence

from tracegraph.asking.comparing import Compared, Told
from tracegraph.compare.comparison import Comparison, Difference, DifferenceKind
from tracegraph.compare.effects import Effect
from tracegraph.views.expected_page import MODES
from tracegraph.views.page import GAP, Line, Page, Tone, caution, title

SILENT = {DifferenceKind.MISREAD, DifferenceKind.UNKNOWN}


def compared_page(compared: Compared, cautions: Sequence[str] = ()) -> Page:
    """Return a comparison as a colleague would tell it.

    Args:
        compared: The comparison.
        cautions: What to heed before probing.
    """
    found = compared.comparison
    lines = [title(_heading(found))]
    if not found.same_section:
        return (*lines, Line(other_sections(found)))
    counted = [one for one in compared.told if _counts(one.difference)]
    lines += [Line(_sum(found, counted)), *map(caution, cautions)]
    for number, one in enumerate(counted, 1):
        lines += [GAP, *_told(number, one)]
    lines += _besides(compared.told)
    lines += _ties(found)
    lines += [Line(f"{text}", Tone.FAINT) for text in found.equal_matches]
    return tuple(lines)


def _heading(found: Comparison) -> str:
    here = found.traced_title or "the traced section"
    return f"{here}, beside {found.reference_title or 'the reference'}"


def other_sections(found: Comparison) -> str:
    """Return what is said of two sections that have too little in common."""
    share = f"{found.similarity:.0%}".replace("%", " %")
    return f"These are not the same section: similarity {share}."


def _counts(difference: Difference) -> bool:
    return difference.kind not in SILENT and not difference.lawful


def _sum(found: Comparison, counted: Sequence[Told]) -> str:
    parts = f"{len(found.parts)} parts were found in both"
    if not counted:
        return f"No difference; {parts}."
    noun = "difference" if len(counted) == 1 else "differences"
    return f"{len(counted)} {noun}; {parts}."


def _told(number: int, one: Told) -> Iterator[Line]:
    yield Line(sentence(one.difference), mark=f"{number}. ")
    if one.loss:
        yield Line(f"Lost by it: {one.loss}.", indent=3)
    for effect in one.effects:
        yield Line(effect_words(effect), indent=3, mark="- ")
    if not one.effects:
        yield Line("No reading between two points here shows it.", indent=3, mark="- ")


def sentence(difference: Difference) -> str:
    """Return a difference with its stop; a question keeps its mark."""
    words = difference.words
    return words if words.endswith("?") else f"{words}."


def effect_words(effect: Effect) -> str:
    """Return a reading that confirms a difference in one sentence."""
    pair = f"red {effect.red}, black {effect.black}, {MODES[effect.mode]}"
    return f"{pair}: {effect.becomes} here, {effect.was} in the reference."


def _besides(told: Sequence[Told]) -> Iterator[Line]:
    """Yield what is no difference: declared ones, misread names, what is not known."""
    heads = (
        ("Declared, so no fault", [o for o in told if o.difference.lawful]),
        ("Written otherwise", _of(told, DifferenceKind.MISREAD)),
        ("Not comparable yet", _of(told, DifferenceKind.UNKNOWN)),
    )
    for head, some in heads:
        if some:
            yield GAP
            yield title(head)
            yield from (Line(sentence(one.difference), mark="- ") for one in some)


def _of(told: Sequence[Told], kind: DifferenceKind) -> list[Told]:
    return [
        one for one in told if one.difference.kind is kind and not one.difference.lawful
    ]


def _ties(found: Comparison) -> Iterator[Line]:
    """Yield other explanations that are as short."""
    for tie in found.ties:
        own = {one.words for one in found.differences}
        yield GAP
        yield title("As short an explanation")
        for one in tie:
            if one.words not in own:
                yield Line(sentence(one), mark="- ")
    if found.more_ties:
        yield Line("There are still more of them.", Tone.FAINT)
