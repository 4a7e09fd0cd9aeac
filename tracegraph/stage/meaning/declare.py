"""Which parts a file has, and what each is; where their pins go comes later."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from tracegraph.notation.syntax import ChainLine, ChainStep, PartLine, Word
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.lines import Line
from tracegraph.stage.meaning.parts import describe
from tracegraph.stage.meaning.wording import Wording
from tracegraph.stage.part import Part


class Declared(NamedTuple):
    """One place that says what a part is."""

    wording: Wording
    in_chain: bool


def declare(desk: Desk, lines: Iterable[Line], known: set[str]) -> None:
    """Describe every part; part lines go before what a chain says of the same part.

    Args:
        desk: Gets the parts.
        lines: All lines, like channels written out.
        known: Designators in lower case, those met only in chains among them.
    """
    found: dict[str, list[Declared]] = {}
    for one in _declared(lines, known):
        found.setdefault(one.wording.ref.text.lower(), []).append(one)
    for ref, told in found.items():
        _declare(desk, ref, sorted(told, key=lambda one: one.in_chain))


def _declare(desk: Desk, ref: str, told: list[Declared]) -> None:
    first, *others = told
    part = describe(desk, first.wording)
    if part is None:
        desk.lost.add(ref)
        return
    desk.put(part)
    for other in others:
        if other.in_chain:
            _compare(desk, part, other.wording)
        else:
            _twice(desk, part, other.wording.ref)


def _twice(desk: Desk, part: Part, ref: Word) -> None:
    message = f"{ref.text} is written twice; the first line is kept."
    hint = "Give one of them its own number, or write the units as U1.A and U1.B."
    desk.error("part-twice", message, ref, hint)
    if part.written:
        desk.relate(part.written, f"{part.ref} is written here first")


def _compare(desk: Desk, part: Part, wording: Wording) -> None:
    """Ask where a chain says something else of a part than its own line."""
    if not wording.words and not wording.settings:
        return
    other = describe(desk, wording)
    if other is None:
        return
    differs = [
        symbol
        for symbol, told in other.given.items()
        if symbol in part.given and told.known and part.given[symbol] != told
    ]
    if other.kind is not part.kind or differs:
        message = f"{part.ref} is something else on another line, which is kept."
        desk.doubt(
            "part-differs", message, wording.ref, "Write it alike on both lines."
        )
        if part.written:
            desk.relate(part.written, f"{part.ref} is described here")


def _declared(lines: Iterable[Line], known: set[str]) -> Iterator[Declared]:
    for line in lines:
        match line.statement:
            case PartLine() as part:
                yield Declared(_of_line(part, line), in_chain=False)
            case ChainLine() as chain:
                yield from _of_chain(chain, line, known)
            case _:
                continue


def _of_line(part: PartLine, line: Line) -> Wording:
    return Wording(
        part.ref,
        part.words,
        part.settings,
        part.marked,
        part.about,
        part.rating,
        part.ends.arrow if part.ends else None,
        _instead(line.excepts, part.ref),
        part.note.text if part.note else "",
        line.channel,
        line.placed,
    )


def _of_chain(chain: ChainLine, line: Line, known: set[str]) -> Iterator[Declared]:
    before = ""
    for step in chain.steps:
        if step.words[0].text.lower() in known:
            yield Declared(_of_step(step, before, line), in_chain=True)
        before = step.arrow


def _of_step(step: ChainStep, before: str, line: Line) -> Wording:
    """Return what a step says; it has a direction if the arrows beside it agree."""
    ref, *words = step.words
    arrows = {before, step.arrow} & {"->", "<-"}
    return Wording(
        ref,
        tuple(words),
        step.settings,
        arrow=len(arrows) == 1,
        instead=_instead(line.excepts, ref),
        channel=line.channel,
        placed=line.placed,
    )


def _instead(excepts: Mapping[str, tuple[Word, ...]], ref: Word) -> tuple[Word, ...]:
    return excepts.get(ref.text.lower(), ())
