"""What fails how often, before any reading: one table, every figure with its source."""

from collections.abc import Iterable, Iterator, Sequence

from tracegraph.diagnose.prior_table import (
    OWN,
    Figure,
    KindRow,
    Raise,
    figure_rows,
    kind_rows,
    kinds_of,
    raise_rows,
    raised_parts,
)
from tracegraph.diagnose.priors import Priors
from tracegraph.stage.stage import Stage
from tracegraph.views.page import GAP, Block, Line, Page, Table, Tone, title
from tracegraph.views.record import Record, number

RULE = (
    "Chance of a part's fault before any reading: rate x share x raise x part.per_rate. "
    "Change a figure in a table of your own and name it with --priors."
)


def priors_page(priors: Priors, stage: Stage | None = None) -> Page:
    """Return the table of priors, for a section or for every kind.

    Args:
        priors: The figures.
        stage: With a section only its kinds, and what is seen of its parts.
    """
    kinds = kinds_of(stage)
    rows = kind_rows(priors, kinds)
    sources = _sources(rows)
    return (
        title("What fails how often, before any reading"),
        Line(RULE, Tone.FAINT),
        GAP,
        Table(
            ("kinds", "rate", "how they fail", "source"),
            tuple(_kind(row, sources) for row in rows),
        ),
        *_notes(sources),
        *_raises(raise_rows(kinds)),
        *(_parts(stage) if stage else ()),
        *_figures(figure_rows(priors)),
    )


def _sources(rows: Sequence[KindRow]) -> dict[str, int]:
    """Return the sources, numbered in the order in which they are met."""
    met = (
        source
        for row in rows
        for source in (row.source, *(one.source for one in row.shares))
    )
    return {source: number for number, source in enumerate(dict.fromkeys(met), 1)}


def _kind(row: KindRow, sources: dict[str, int]) -> tuple[str, ...]:
    shares = ", ".join(f"{_share(one.share)} {one.fault}" for one in row.shares)
    met = dict.fromkeys((row.source, *(one.source for one in row.shares)))
    notes = " ".join(str(sources[source]) for source in met)
    return ", ".join(row.kinds), f"{row.rate:g}", shares, notes


def _share(share: float) -> str:
    return f"{share * 100:.2g} %"


def _notes(sources: dict[str, int]) -> Iterator[Line]:
    yield GAP
    yield title("Sources: of the rate first, then of the shares")
    for source, place in sources.items():
        yield Line(f"{source}.", mark=f"{place}. ")


def _raises(rows: Iterable[Raise]) -> Iterator[Line]:
    yield GAP
    yield title("What makes a failure likelier (common practice, no source)")
    for row in rows:
        where = f", of {', '.join(row.kinds)}" if row.kinds else ""
        yield Line(f"{row.word}: times {row.factor:g}{where}", mark="- ")


def _parts(stage: Stage) -> Iterator[Line]:
    found = raised_parts(stage)
    if found:
        yield GAP
        yield title("Likelier in this section")
    for ref, some in found:
        told = ", ".join(f"{one.word} times {one.factor:g}" for one in some)
        yield Line(f"{ref}: {told}", mark="- ")


def _figures(rows: Iterable[Figure]) -> Iterator[Block]:
    yield GAP
    yield title("All else: common practice, no source, where it is not from your table")
    table = tuple((one.name, _value(one), one.words) for one in rows)
    yield Table(("figure", "value", "what it says"), table)


def _value(one: Figure) -> str:
    return f"{one.value:g} ({OWN})" if one.source == OWN else f"{one.value:g}"


def priors_records(priors: Priors, stage: Stage | None = None) -> list[Record]:
    """Return the table for machines: kinds first, then raises and other figures."""
    kinds = kinds_of(stage)
    rows: list[Record] = [
        {
            "sort": "kind",
            "kinds": list(row.kinds),
            "rate": number(row.rate),
            "source": row.source,
            "shares": [
                {"fault": one.fault, "share": number(one.share), "source": one.source}
                for one in row.shares
            ],
        }
        for row in kind_rows(priors, kinds)
    ]
    raised: list[Record] = [
        {
            "sort": "raise",
            "word": row.word,
            "factor": number(row.factor),
            "kinds": list(row.kinds),
        }
        for row in raise_rows(kinds)
    ]
    figures: list[Record] = [
        {
            "sort": "figure",
            "name": one.name,
            "value": number(one.value),
            "words": one.words,
            "source": one.source,
        }
        for one in figure_rows(priors)
    ]
    return [*rows, *raised, *figures]
