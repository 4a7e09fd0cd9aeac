"""The words of a part line, in any order: kind, value, tolerance, status, type."""

import re
from dataclasses import replace
from types import MappingProxyType

from tracegraph.marking import Value, parse_any
from tracegraph.nearest import nearest
from tracegraph.notation.syntax import Word
from tracegraph.quantity import Origin
from tracegraph.stage.kind import Form, a
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.values import (
    MEANINGS,
    read_value,
    take_about,
    take_rating,
    to_quantity,
    value_parameter,
)
from tracegraph.stage.meaning.wording import Gathered
from tracegraph.stage.part import Status

_STATUS = MappingProxyType(
    {"absent": Status.ABSENT, "removed": Status.REMOVED, "fitted": Status.FITTED}
)
_PERCENT = re.compile(r"(?:±|\+/?-)?\s*(\d+(?:[.,]\d+)?)\s*%", re.ASCII)
_TYPE_NUMBER = re.compile(r"[123][NS]\d{3,}\w*", re.IGNORECASE | re.ASCII)
_WORDS_ONLY = re.compile(r"[^\W\d_]{3,}(?:[- ][^\W\d_]+)*")


def read_words(desk: Desk, gathered: Gathered, words: list[Word]) -> None:
    """Take every word for what it fits first; the rest is a type number."""
    texts = [word.text.lower() for word in words]
    skip = 0
    for index, word in enumerate(words):
        if skip:
            skip -= 1
            continue
        following = texts[index + 1 : index + 2]
        if not word.quoted and texts[index] == "not" and following == ["fitted"]:
            gathered.part = replace(gathered.part, status=Status.ABSENT)
            skip = 1
        elif not word.quoted and following and following[0] in {"turns", "turn"}:
            _turns(gathered, word)
            skip = 1
        else:
            _read_word(desk, gathered, word)


def _read_word(desk: Desk, gathered: Gathered, word: Word) -> None:
    if word.quoted:
        _quoted(desk, gathered, word)
    elif not (
        _status(gathered, word.text.lower())
        or _unreadable(gathered, word)
        or _tolerance(gathered, word)
        or _value(desk, gathered, word)
        or _rated(gathered, word)
    ):
        _type_number(desk, gathered, word)


def _quoted(desk: Desk, gathered: Gathered, word: Word) -> None:
    """Take a quoted text for a type number, save `"about 22R"`."""
    head, _, rest = word.text.partition(" ")
    if head.lower() == "about" and rest:
        take_about(desk, gathered, Word(rest.strip(), word.span))
    else:
        gathered.part = replace(gathered.part, type_number=word.text)


def _status(gathered: Gathered, text: str) -> bool:
    if text == "burnt":
        gathered.part = replace(gathered.part, burnt=True)
        return True
    status = _STATUS.get(text)
    if status and gathered.part.fitted:
        gathered.part = replace(gathered.part, status=status)
    return status is not None


def _unreadable(gathered: Gathered, word: Word) -> bool:
    """Take `?` for the value, or for the pinout of a kind that has no value."""
    if word.text != "?":
        return False
    parameter = value_parameter(gathered.kind)
    usual = parameter is None or parameter.quantity.known
    if usual and gathered.kind.form is Form.PINS:
        gathered.part = replace(gathered.part, pinout=False)
    else:
        gathered.unreadable = parameter is not None
    return True


def _tolerance(gathered: Gathered, word: Word) -> bool:
    found = _PERCENT.fullmatch(word.text)
    if found and gathered.tolerance is None:
        gathered.tolerance = float(found[1].replace(",", ".")) / 100
    return found is not None


def _value(desk: Desk, gathered: Gathered, word: Word) -> bool:
    parameter = value_parameter(gathered.kind)
    if parameter is None or gathered.value or _TYPE_NUMBER.fullmatch(word.text):
        return False
    value = read_value(desk, gathered.ref, word, parameter)
    if value is None:
        return False
    gathered.value = (value, word)
    return True


def _rated(gathered: Gathered, word: Word) -> bool:
    """Take a voltage, current or power that is no value for a rating."""
    value = parse_any(word.text)
    if (
        value is None
        or value.unit not in {"V", "A", "W"}
        or _TYPE_NUMBER.fullmatch(word.text)
    ):
        return False
    take_rating(gathered, value)
    return True


def _turns(gathered: Gathered, word: Word) -> None:
    turns, parameter = parse_any(word.text), gathered.kind.parameters.get("turns")
    if turns and parameter:
        gathered.given["turns"] = to_quantity(turns, parameter, Origin.WRITTEN)


def _type_number(desk: Desk, gathered: Gathered, word: Word) -> None:
    """Keep a word that fits no other rule; ask where it looks like a slip."""
    if gathered.overridden or len(gathered.kind.pins) == 1:
        return  # what a like line gives came first; `TP1 GATE` is a net
    text, typed = word.text, _TYPE_NUMBER.fullmatch(word.text)
    known = [*gathered.kind.variants, *_STATUS, "burnt"]
    near = nearest(text, known, cutoff=0.75) if _WORDS_ONLY.fullmatch(text) else ""
    amount = None if typed else parse_any(text)
    if near:
        message = f"{gathered.ref}: `{text}` says nothing of a part."
        desk.error("unknown-word", message, word, f"Did you mean {near}?")
    elif amount and amount.unit:
        _wrong_unit(desk, gathered, word, amount)
    elif text[0].isdigit() and not typed and _wants_number(gathered):
        message = f"{gathered.ref}: `{text}` is no value."
        hint = "Values are written like 4k7, 470R, 100n; a type number in quotes."
        desk.error("no-value", message, word, hint)
        gathered.unreadable = True
    elif not gathered.part.type_number:
        gathered.part = replace(gathered.part, type_number=text)
    else:
        message = f"{gathered.ref}: `{text}` fits no rule."
        desk.error("odd-word", message, word, 'Put remarks in a note "...".')


def _wants_number(gathered: Gathered) -> bool:
    """Return whether a value is still to come that the part cannot be without."""
    parameter = value_parameter(gathered.kind)
    needed = parameter is not None and not parameter.quantity.known
    return needed and gathered.value is None and gathered.kind.form is not Form.PINS


def _wrong_unit(desk: Desk, gathered: Gathered, word: Word, amount: Value) -> None:
    title = gathered.kind.title
    meaning = MEANINGS.get(amount.unit, "a value")
    message = f"{gathered.ref} is {a(title)}: {word.text} is {meaning}."
    parameter = value_parameter(gathered.kind)
    unit = parameter.quantity.unit if parameter else ""
    hint = (
        f"What counts for {a(title)} is {MEANINGS[unit]}." if unit in MEANINGS else ""
    )
    desk.error("wrong-unit", message, word, hint)
    gathered.unreadable = parameter is not None and gathered.value is None
