"""What is wrong with a line that could not be read, and what was probably meant."""

import re
from difflib import get_close_matches
from functools import lru_cache
from itertools import islice

from tracegraph.diagnostics import Problem, error
from tracegraph.notation.lines import ARROWS, Line, line_of, pieces
from tracegraph.notation.mistakes.slips import NET, odd_net
from tracegraph.notation.mistakes.stops import Stop, mistake_at, stop_in
from tracegraph.notation.mistakes.usage import INNER, PART, RANGE, TAIL, USAGE
from tracegraph.notation.syntax import Word
from tracegraph.notation.words import branches

_ENOUGH = 40  # words of one line that are looked at for a slip of the pen
_BARE = re.compile(r"[a-z]{2,}")
_OTHER = {"tail": TAIL, "range": RANGE}
_NEARLY_REF = re.compile(r"([a-z]+\d+)([a-z]+)")


def explain(line: Line, stop: Stop, start: str = "line") -> Problem:
    """Return the problem of a line that stopped making sense at a known place."""
    return (
        _misspelt(line, start)
        or _unknown_opening(line, start)
        or _odd_net(line, stop)
        or _known(line, stop)
        or _puzzling(line, stop, start)
    )


def explain_opening(line: Line) -> Problem:
    """Return the problem of a line that begins with nothing known."""
    return _misspelt(line, "line") or _no_such_opening(line)


def _misspelt(line: Line, start: str) -> Problem | None:
    """Return the misspelt word of a line that makes sense with the right one."""
    for piece in islice(pieces(line), _ENOUGH):
        for meant in _near(piece[0]):
            right = line.plain[: piece.start()] + meant + line.plain[piece.end() :]
            if _makes_sense(right, start):
                return _misspelt_word(line, piece, meant)
    return None


def _misspelt_word(line: Line, piece: re.Match[str], meant: str) -> Problem:
    shown = line.text[piece.start() : piece.end()]
    return error(
        "misspelt",
        f"`{shown}` is no word of the notation here",
        line.span(piece.start(), piece.end()),
        f"did you mean `{meant}`?",
    )


@lru_cache(maxsize=1024)
def _near(word: str) -> list[str]:
    """Return the keywords that a word may be a slip of."""
    if not _BARE.fullmatch(word) or word in USAGE or word in INNER:
        return []
    return get_close_matches(word, {*USAGE, *INNER}, n=2, cutoff=0.7)


def _makes_sense(text: str, start: str) -> bool:
    if stop_in(line_of(text), start) is not None:
        return False
    tree = branches(line_of(text), start)
    return not any(tree.below("unknown"))


def _unknown_opening(line: Line, start: str) -> Problem | None:
    """Return the problem of a line whose first word says nothing of the rest."""
    first = _first(line)
    if start != "line" or first is None:
        return None
    known = first[0] in USAGE or re.fullmatch(r"[a-z]+\d+(\.\S+)?", first[0])
    follows = _words(line)[1:2]
    return None if known or follows == ["joins"] else _no_such_opening(line)


def _no_such_opening(line: Line) -> Problem:
    first = _first(line)
    start, end = first.span() if first else (0, len(line.text))
    shown = line.text[start:end]
    place = line.span(start, end)
    meant = next(iter(_near(shown.lower())), "")
    if meant:
        message = f"`{shown}` begins no line of the notation"
        return error(
            "misspelt",
            message,
            place,
            f"did you mean `{meant}`? write: {_example(meant)}",
        )
    if _words(line)[1:2] == ["joins"]:
        return odd_net(Word(shown, place))
    if _looks_like_part(line):
        return error(
            "no-designator",
            f"`{shown}` is no designator",
            place,
            f"a designator is letters, then digits: {_designator(shown)}",
        )
    return error(
        "unknown-line", f"`{shown}` begins no line of the notation", place, _hint(shown)
    )


def _example(word: str) -> str:
    return USAGE.get(word) or INNER[word]


def _hint(shown: str) -> str:
    """Return how the line that was begun like this is written."""
    if shown.lower() in INNER:
        return f"write: {INNER[shown.lower()]}"
    return f"a line begins with a designator ({PART}), a net that joins pins, or a word such as ground, rail, input"


def _looks_like_part(line: Line) -> bool:
    words = _words(line)[1:]
    return any("=" in word or word in ARROWS for word in words)


def _designator(shown: str) -> str:
    """Return the designator that was probably meant."""
    nearly = _NEARLY_REF.fullmatch(shown.lower())
    if nearly:
        cut = nearly.end(1)
        return f"{shown[:cut]}.{shown[cut:]} for a unit of {shown[:cut]}"
    letters = "".join(c for c in shown if c.isascii() and c.isalpha())
    return f"{letters or 'R'}1"


def _odd_net(line: Line, stop: Stop) -> Problem | None:
    """Return the problem of an arrow beside a word that can't be a net."""
    if stop.shape == "arrow":
        before = [p for p in pieces(line) if p.end() <= stop.start][1:][-1:]
        word = before[0] if before else None
    else:
        word = _piece_at(line, stop.start)
    if word is None or word[0].startswith('"') or "=" in word[0]:
        return None
    text = line.text[word.start() : word.end()]
    if NET.fullmatch(text.strip(",")) or word[0] in {"?", *ARROWS}:
        return None
    if stop.shape == "arrow" and _is_value(word[0]):
        return None
    return odd_net(Word(text, line.span(word.start(), word.end())))


def _is_value(word: str) -> bool:
    return word[:1].isdigit() or word[:1] in "+-.?"


def _known(line: Line, stop: Stop) -> Problem | None:
    """Return the known mistake that this is."""
    mistake = mistake_at(stop)
    if mistake is None:
        return None
    found = line.text[stop.start : stop.end]
    message = mistake.message.replace("{found}", found)
    return error(mistake.code, message, line.span(stop.start, stop.end), mistake.hint)


def _puzzling(line: Line, stop: Stop, start: str) -> Problem:
    """Return the problem of a line that no known mistake explains."""
    found = line.text[stop.start : stop.end]
    message = f"`{found}` does not fit here" if found else "the line ends too early"
    first = _first(line)
    usual = _OTHER.get(start) or USAGE.get(first[0] if first else "", PART)
    return error(
        "puzzling-word" if found else "short-line",
        message,
        line.span(stop.start, stop.end),
        f"usual is: {usual}",
    )


def _first(line: Line) -> re.Match[str] | None:
    return next(iter(pieces(line)), None)


def _words(line: Line) -> list[str]:
    return [piece[0] for piece in islice(pieces(line), _ENOUGH)]


def _piece_at(line: Line, start: int) -> re.Match[str] | None:
    return next((p for p in pieces(line) if p.start() <= start < p.end()), None)
