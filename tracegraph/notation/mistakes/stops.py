"""Where a line stopped making sense, and which known mistakes stop it there."""

import re
from functools import lru_cache
from typing import NamedTuple, cast

from lark import Lark
from lark.exceptions import UnexpectedCharacters, UnexpectedInput, UnexpectedToken

from tracegraph.notation.grammar import reader
from tracegraph.notation.lines import Line, line_of
from tracegraph.notation.mistakes.bench import BENCH
from tracegraph.notation.mistakes.board import BOARD
from tracegraph.notation.mistakes.record import Mistake
from tracegraph.notation.words import branches

_PIECE = re.compile(r'"[^"]*"|[^\s",]+|\S')
_ARROW = re.compile(r"--|->|<-|[–—→←]")
MISTAKES = BOARD + BENCH


class Stop(NamedTuple):
    """Where a line stopped making sense.

    Attributes:
        state: What had been read so far, as the grammar's own number.
        shape: What stands there: `end`, `arrow`, `quoted`, `setting`, `equals`,
            `note` or `word`.
        start: Index of its first character.
        end: Index behind its last character; the same as `start` at the line's end.
    """

    state: int
    shape: str
    start: int
    end: int


def stop_of(line: Line, fault: UnexpectedInput) -> Stop:
    """Return where and at what a line stopped making sense."""
    state = _state(fault)
    if isinstance(fault, UnexpectedToken) and fault.token.type == "$END":
        end = fault.token.end_pos or 0
        return Stop(state, "end", end, end)
    found = _PIECE.search(line.plain, cast("int", fault.pos_in_stream))
    if found is None:
        end = len(line.plain.rstrip())
        return Stop(state, "end", end, end)
    return Stop(state, _shape(found[0]), found.start(), found.end())


def _state(fault: UnexpectedInput) -> int:
    """Return the grammar's number of what had been read so far."""
    if isinstance(fault, UnexpectedToken | UnexpectedCharacters):
        return int(fault.interactive_parser.parser_state.position)
    return -1


def _shape(text: str) -> str:
    if text.startswith('"'):
        return "quoted"
    if _ARROW.fullmatch(text):
        return "arrow"
    if text.startswith("="):
        return "equals"
    if text == "note":
        return "note"
    return "setting" if "=" in text else "word"


def mistake_at(stop: Stop) -> Mistake | None:
    """Return the known mistake that stops a line here, or None."""
    return _learnt(reader()).get((stop.state, stop.shape))


@lru_cache(maxsize=1)
def _learnt(_reader: Lark) -> dict[tuple[int, str], Mistake]:
    """Return every place where a known mistake stops the reader; the first one wins.

    The places are numbers of this very reader, so they are learnt anew for another.
    """
    found: dict[tuple[int, str], Mistake] = {}
    for mistake in MISTAKES:
        for text in mistake.lines:
            stop = stop_in(line_of(text))
            if stop:
                found.setdefault((stop.state, stop.shape), mistake)
    return found


def stop_in(line: Line, start: str = "line") -> Stop | None:
    """Return where a line stops making sense, or None if it does not."""
    try:
        branches(line, start)
    except UnexpectedInput as fault:
        return stop_of(line, fault)
    return None
