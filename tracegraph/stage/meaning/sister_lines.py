"""A line of one channel as its sister has it: parts and nets under other names."""

from collections.abc import Mapping

from tracegraph.notation.syntax import (
    BreakLine,
    ChainLine,
    ChainStep,
    Ends,
    GroundLine,
    InputLine,
    JoinsLine,
    LinkLine,
    PartLine,
    RailLine,
    RestLine,
    Setting,
    Statement,
    SupplyLine,
    TouchedLine,
    UnpluggedLine,
    UntracedLine,
    Word,
)
from tracegraph.stage.meaning.lines import kind_of
from tracegraph.stage.meaning.pinout import is_parameter

Names = Mapping[str, str]  # old name in lower case to new name


def rename(statement: Statement, names: Names) -> Statement:  # noqa: PLR0911 - a case a line
    """Return the line with every part, pin and net under its new name."""
    match statement:
        case PartLine():
            return _part(statement, names)
        case ChainLine(steps=steps):
            return statement._replace(steps=tuple(_step(one, names) for one in steps))
        case JoinsLine(net=net, pins=pins):
            return statement._replace(net=_word(net, names), pins=_words(pins, names))
        case SupplyLine(ref=ref, settings=settings):
            nets = _settings(settings, names)
            return statement._replace(ref=_word(ref, names), settings=nets)
        case LinkLine(a=a, b=b):
            return statement._replace(a=_word(a, names), b=_word(b, names))
        case BreakLine(net=net, pin=pin):
            return statement._replace(net=_word(net, names), pin=_word(pin, names))
        case TouchedLine(refs=refs):
            return statement._replace(refs=_words(refs, names))
        case UntracedLine(targets=targets):
            return statement._replace(targets=_words(targets, names))
        case UnpluggedLine(nets=nets):
            return statement._replace(nets=_words(nets, names))
        case _:
            return _declaration(statement, names)


def _declaration(statement: Statement, names: Names) -> Statement:
    match statement:
        case RestLine(ends=ends):
            return statement._replace(ends=_ends(ends, names))
        case InputLine(net=net):
            return statement._replace(net=_word(net, names))
        case RailLine(net=net, over=over):
            there = _word(over, names) if over else None
            return statement._replace(net=_word(net, names), over=there)
        case GroundLine(nets=nets):
            return statement._replace(nets=_words(nets, names))
        case _:
            return statement


def new_name(text: str, names: Names) -> str:
    """Return the new name of a part, a net, or a pin (`R31.2`) of a renamed part."""
    found = names.get(text.lower())
    if found is not None:
        return found
    ref, dot, leg = text.rpartition(".")
    return f"{new_name(ref, names)}.{leg}" if dot else text


def _word(word: Word, names: Names) -> Word:
    return word._replace(text=new_name(word.text, names))


def _words(words: tuple[Word, ...], names: Names) -> tuple[Word, ...]:
    return tuple(_word(word, names) for word in words)


def _ends(ends: Ends, names: Names) -> Ends:
    return ends._replace(left=_word(ends.left, names), right=_word(ends.right, names))


def _settings(settings: tuple[Setting, ...], names: Names) -> tuple[Setting, ...]:
    return tuple(_setting(one, names) for one in settings)


def _setting(setting: Setting, names: Names) -> Setting:
    return setting._replace(value=_word(setting.value, names))


def _part(line: PartLine, names: Names) -> PartLine:
    kind = kind_of(line)
    settings = tuple(
        one if kind and is_parameter(kind, one) else _setting(one, names)
        for one in line.settings
    )
    return line._replace(
        ref=_word(line.ref, names),
        ends=_ends(line.ends, names) if line.ends else None,
        settings=settings,
        dot=_word(line.dot, names) if line.dot else None,
    )


def _step(step: ChainStep, names: Names) -> ChainStep:
    first, *rest = step.words
    return step._replace(words=(_word(first, names), *rest))
