"""Statements out of lines that were read: one small function a rule of the grammar."""

from collections.abc import Callable

from tracegraph.notation import syntax
from tracegraph.notation.parts import chain, part
from tracegraph.notation.syntax import Statement, Word
from tracegraph.notation.tails import tail
from tracegraph.notation.words import Branches, joined, plain_word

Maker = Callable[[Branches, Word | None], Statement]


def statement(line: Branches) -> Statement | None:
    """Return the statement of a line; None where it begins with nothing known."""
    note = _note(line)
    for tree in line.below(*_MAKERS):
        made = _MAKERS[tree.name](tree, note)
        return made._replace(span=line.span) if note else made
    return None


def ranges(line: Branches) -> Statement:
    """Return one range of a meter's profile."""
    return syntax.RangeLine(line.span, _note(line), line.words("WORD", "STRING"))


def _note(line: Branches) -> Word | None:
    return next((item.only("STRING") for item in line.below("note")), None)


def _titled(tree: Branches, note: Word | None) -> Statement:
    return syntax.Titled(tree.span, note, tree.only("STRING"))


def _ground(tree: Branches, note: Word | None) -> Statement:
    return syntax.GroundLine(tree.span, note, tree.words("PLACE"))


def _rail(tree: Branches, note: Word | None) -> Statement:
    over = next((item.only("PLACE") for item in tree.below("over")), None)
    net, values = tree.only("PLACE"), tree.words("WORD")
    return syntax.RailLine(tree.span, note, net, values, over)


def _rest(tree: Branches, note: Word | None) -> Statement:
    ends = syntax.Ends(tree.only("LEFT"), arrow=False, right=tree.only("PLACE"))
    return syntax.RestLine(tree.span, note, ends, tuple(_values(tree)))


def _input(tree: Branches, note: Word | None) -> Statement:
    words = _values(tree)
    via = next((next(v.below("amount")).only() for v in tree.below("via")), None)
    low = high = None
    slash = next((i for i, word in enumerate(words) if word.text == "/"), 0)
    if 0 < slash < len(words) - 1:
        low, _, high = words[slash - 1 : slash + 2]
        del words[slash - 1 : slash + 2]
    net = tree.only("PLACE")
    return syntax.InputLine(tree.span, note, net, low, high, via, tuple(words))


def _values(tree: Branches) -> list[Word]:
    """Return values, pairs of them parted at their stroke: `0V/5V` is `0V / 5V`."""
    apart = (
        piece
        for token in tree.tokens("WORD", "SLASH")
        for piece in _apart(plain_word(tree.line, token))
    )
    return [word for word in joined(apart) if isinstance(word, Word)]


def _apart(word: Word) -> tuple[Word, ...]:
    """Return `0V/5V` as its two values and the stroke between them."""
    first, stroke, second = word.text.partition("/")
    if not (_half(first) and _half(second)):
        return (word,)
    place, middle = word.span, word.span.column + len(first)
    return (
        Word(first, place._replace(end=middle)),
        Word(stroke, place._replace(column=middle, end=middle + 1)),
        Word(second, place._replace(column=middle + 1)),
    )


def _half(text: str) -> bool:
    """Whether this can be one half of a pair of values: `0V`, `OL`, the `V` of `0 V`."""
    number = text.lstrip("+-.,")[:1].isdigit()
    return number or text.lower() in {"ol", "0l", "v", "mv"}


def _state(tree: Branches, note: Word | None) -> Statement:
    return syntax.StateLine(tree.span, note, tree.only("PLACE"), tree.settings())


def _joins(tree: Branches, note: Word | None) -> Statement:
    net, pins = tree.only("JOINED_NET"), tree.words("PLACE")
    return syntax.JoinsLine(tree.span, note, net, pins)


def _supply(tree: Branches, note: Word | None) -> Statement:
    return syntax.SupplyLine(tree.span, note, tree.only("REF"), tree.settings())


def _touched(tree: Branches, note: Word | None) -> Statement:
    refs, remark = tree.words("REF"), tree.word("STRING")
    return syntax.TouchedLine(tree.span, note, refs, remark)


def _untraced(tree: Branches, note: Word | None) -> Statement:
    return syntax.UntracedLine(tree.span, note, tree.words("PLACE", "LOOSE"))


def _unplugged(tree: Branches, note: Word | None) -> Statement:
    return syntax.UnpluggedLine(tree.span, note, tree.words("PLACE"))


def _link(tree: Branches, note: Word | None) -> Statement:
    a, b = tree.words("PLACE")
    value = next((item.only() for item in tree.below("amount")), None)
    return syntax.LinkLine(tree.span, note, tree.only("JOIN"), a, b, value)


def _broken(tree: Branches, note: Word | None) -> Statement:
    return syntax.BreakLine(tree.span, note, *tree.words("PLACE"))


def _note_line(tree: Branches, _note: Word | None) -> Statement:
    return syntax.NoteLine(tree.span, tree.only("STRING"))


def _channel(tree: Branches, note: Word | None) -> Statement:
    return syntax.ChannelLine(tree.span, note, tree.only("PLACE"))


def _like(tree: Branches, note: Word | None) -> Statement:
    name, like = tree.words("PLACE")
    excepts = tuple(_except(item) for item in tree.below("except"))
    settings = tree.settings()
    return syntax.LikeLine(tree.span, note, name, like, settings, excepts)


def _except(tree: Branches) -> syntax.Except:
    """Return one lawful difference; a setting in it stays one word."""
    words = tree.all_words("WORD", "STRING", "SETTING")
    return syntax.Except(tree.only("REF"), words)


def _end(tree: Branches, note: Word | None) -> Statement:
    return syntax.EndLine(tree.span, note)


def _readings(tree: Branches, note: Word | None) -> Statement:
    meter = next((m.only("STRING", "WORD") for m in tree.below("with_meter")), None)
    condition = tail(next(tree.below("tail"), None))
    return syntax.ReadingsLine(tree.span, note, tree.word("STRING"), meter, condition)


def _reading(tree: Branches, note: Word | None) -> Statement:
    red, black = tree.words("PLACE")
    shown = _shown(next(tree.below("shown")))
    condition = tail(next(tree.below("tail"), None))
    mode = tree.only("MODE")
    return syntax.ReadingLine(tree.span, note, mode, red, black, shown, condition)


def _shown(tree: Branches) -> tuple[Word, ...]:
    return (*tree.words("MORE", "CLIMBS", "NO"), *tree.words("WORD", "UNIT"))


def _event(tree: Branches, note: Word | None) -> Statement:
    verb = tree.only("CHANGED", "REMOVED", "CUT")
    words = tree.words("WORD", "STRING", "SETTING")
    targets = tree.words("REF", "PLACE")
    return syntax.EventLine(tree.span, note, verb, targets, words, tree.settings())


def _undo(tree: Branches, note: Word | None) -> Statement:
    return syntax.UndoLine(tree.span, note)


def _meter(tree: Branches, note: Word | None) -> Statement:
    return syntax.MeterLine(tree.span, note, tree.only("STRING"))


_MAKERS: dict[str, Maker] = {
    "titled": _titled,
    "ground": _ground,
    "rail": _rail,
    "rest": _rest,
    "input": _input,
    "state": _state,
    "part": part,
    "chain": chain,
    "joins": _joins,
    "supply": _supply,
    "touched": _touched,
    "untraced": _untraced,
    "unplugged": _unplugged,
    "link": _link,
    "broken": _broken,
    "note_line": _note_line,
    "channel": _channel,
    "like": _like,
    "end": _end,
    "readings": _readings,
    "reading": _reading,
    "event": _event,
    "undo": _undo,
    "meter": _meter,
}
