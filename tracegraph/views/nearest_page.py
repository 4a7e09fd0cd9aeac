"""Which usual stage a section is nearest to, and what that has and this one lacks."""

from collections.abc import Iterator, Sequence

from tracegraph.compare.library import Near
from tracegraph.views.page import GAP, Line, Page, Tone, title

SHOWN = 3


def nearest_page(heading: str, found: Sequence[Near]) -> Page:
    """Return the nearest of the usual stages, what is lacking, and the next ones.

    Args:
        heading: What the section is called.
        found: Usual stages, the nearest first.
    """
    near = [one for one in found if one.is_one]
    if not near:
        return (title(heading), *_none(found))
    first, *others = near
    return (
        title(heading),
        Line(f"Nearest usual stage: {_told(first)}."),
        *_lacks(first),
        *_others(others),
        GAP,
        Line(
            f"All differences: tracegraph compare FILE --pattern {first.pattern.name}",
            Tone.FAINT,
        ),
    )


def _told(near: Near) -> str:
    share = f"{near.similarity:.0%}".replace("%", " %")
    return f"{near.pattern.title} ({near.pattern.name}), {share} of it found here"


def _lacks(near: Near) -> Iterator[Line]:
    if not near.lacks:
        yield Line("Nothing of it is missing in what was traced here.")
        return
    yield GAP
    yield title("The usual stage has, and this one has not")
    yield from (Line(f"{text}.", mark="- ") for text in near.lacks)


def _others(others: Sequence[Near]) -> Iterator[Line]:
    if others:
        yield GAP
        yield title("Found in it, too")
        for one in others[:SHOWN]:
            yield Line(f"{_told(one)}.", mark="- ")


def _none(found: Sequence[Near]) -> Iterator[Line]:
    yield Line("It is none of the usual stages that are known here.")
    if found:
        yield Line(f"The nearest is {_told(found[0])}.", Tone.FAINT)
