"""Every meaning of a marking, the likeliest first."""

from collections.abc import Iterator, Mapping, Sequence

from tracegraph.meanings import Meaning
from tracegraph.views.amounts import whole
from tracegraph.views.page import GAP, Block, Line, Page, Table, title

HEAD = ("value", "read as", "how", "for or against")


def value_page(meanings: Mapping[str, Sequence[Meaning]]) -> Page:
    """Return what each marking can mean."""
    blocks: list[Block] = []
    for marking, found in meanings.items():
        blocks += [GAP, *_marking(marking, found)]
    return tuple(blocks[1:])


def _marking(marking: str, found: Sequence[Meaning]) -> tuple[Block, ...]:
    if not found:
        return (
            title(marking),
            Line("No code that is known gives this a meaning.", indent=2),
        )
    return title(marking), Table(HEAD, tuple(_row(one) for one in found))


def _row(one: Meaning) -> tuple[str, ...]:
    return ", ".join(_facts(one)), one.code, one.words, one.why


def _facts(one: Meaning) -> Iterator[str]:
    """Yield the value, its tolerance and its voltage, as far as the mark says them."""
    yield whole(one.number, one.unit)
    if one.tolerance is not None:
        yield f"±{one.tolerance * 100:g} %"
    if one.volts is not None:
        yield whole(one.volts, "V")
