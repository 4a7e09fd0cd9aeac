"""A part line's own meaning: kind, quantities, status; where its pins go comes later."""

import re
from dataclasses import replace
from types import MappingProxyType

from tracegraph.marking import parse_any, parse_value
from tracegraph.notation.syntax import Setting, Word
from tracegraph.quantity import Origin
from tracegraph.stage.kind import Form, Kind, a
from tracegraph.stage.kinds import KINDS, kind_of_letters
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.kindwords import (
    choose_kind,
    misspelt_kind,
    settle_variants,
)
from tracegraph.stage.meaning.pinout import (
    is_parameter,
    numbers,
    settle_pinout,
    with_usual_pinout,
)
from tracegraph.stage.meaning.values import (
    settle_value,
    take_about,
    take_rating,
    to_quantity,
    unread,
    value_parameter,
)
from tracegraph.stage.meaning.wording import Gathered, Wording
from tracegraph.stage.meaning.words import read_words
from tracegraph.stage.part import Part


def describe(desk: Desk, wording: Wording) -> Part | None:
    """Return the part that a line describes, without nets; None after saying why."""
    kind, words = choose_kind((*wording.instead, *wording.words))
    chosen = kind or kind_of_letters(wording.ref.text.partition(".")[0])
    slip = None if kind else misspelt_kind(words)
    if chosen is None or slip:
        _ask_kind(desk, wording.ref, slip)
        return None
    chosen, variant, words = settle_variants(chosen, words)
    chosen, variant = _by_arrow(chosen, variant, wording)
    if kind:
        _compare_letters(desk, wording.ref, chosen)
    part = Part(
        wording.ref.text,
        chosen,
        MappingProxyType({}),
        variant=variant,
        channel=wording.channel,
        note=wording.note,
        written=wording.ref.span,
        placed=wording.placed or wording.ref.span,
    )
    gathered = Gathered(chosen, wording.ref.text, part)
    gathered.overridden = bool(wording.instead)
    return _fill(desk, wording, gathered, words)


def _fill(desk: Desk, wording: Wording, gathered: Gathered, words: list[Word]) -> Part:
    read_words(desk, gathered, words)
    if wording.about and not (gathered.overridden and gathered.value):
        take_about(desk, gathered, wording.about)
    settle_value(desk, gathered, wording.marked)
    for word in wording.rating:
        _read_rating(desk, gathered, word)
    for setting in wording.settings:
        if is_parameter(gathered.kind, setting):
            _read_parameter(gathered, setting)
    _ask_value(desk, wording.ref, gathered)
    settle_pinout(desk, wording, gathered)
    part = replace(
        gathered.part,
        given=MappingProxyType(gathered.given),
        marked=wording.marked.text if wording.marked else "",
        numbers=MappingProxyType(numbers(gathered, wording.settings)),
    )
    return with_usual_pinout(desk, part, wording)


def _by_arrow(
    kind: Kind, variant: frozenset[str], wording: Wording
) -> tuple[Kind, frozenset[str]]:
    """Return the kind that an arrow makes of a part that may be written either way."""
    if kind.form is not Form.EITHER or wording.arrow is None:
        return kind, variant
    if wording.arrow and kind.word == "capacitor":
        return KINDS["electrolytic"], variant
    if not wording.arrow and TWO_WAY in kind.variants:
        return kind, variant | {TWO_WAY}
    return kind, variant


def _ask_kind(desk: Desk, ref: Word, slip: tuple[Word, str] | None) -> None:
    """Say that nothing tells what a part is."""
    if slip:
        message = f"{ref.text}: `{slip[0].text}` is no kind of part."
        desk.error("unknown-kind", message, slip[0], f"Did you mean {slip[1]}?")
    else:
        message = f"Nothing here tells what kind of part {ref.text} is."
        hint = f"Write its kind behind the designator, as {ref.text} npn."
        desk.error("unknown-kind", message, ref, hint)


def _compare_letters(desk: Desk, ref: Word, kind: Kind) -> None:
    """Ask where the designator's letters speak of another kind than the word."""
    letters = re.match(r"[A-Za-z]*", ref.text)
    own = letters[0].upper() if letters else ""
    if not kind.letters or own in kind.letters:
        return
    other = kind_of_letters(ref.text.partition(".")[0])
    usual = f", which is usual for {a(other.title)}" if other else ""
    message = f"{ref.text} is {a(kind.title)} but has the letter {own}{usual}."
    hint = f"The word is believed; {a(kind.title)} is usually {kind.letters[0]}."
    desk.doubt("letter-differs", message, ref, hint)


def _read_rating(desk: Desk, gathered: Gathered, word: Word) -> None:
    value = parse_any(word.text.lstrip("+-"))  # a P-channel's sheet says -60V
    if value and value.unit:
        take_rating(gathered, value)
    else:
        message = f"{gathered.ref}: {word.text} is no rating."
        desk.error("no-value", message, word, "Ratings have units: rating 600V 20A.")


def _read_parameter(gathered: Gathered, setting: Setting) -> None:
    """Keep a data-sheet parameter with its test condition; `?` is all that may be."""
    symbol = setting.name.text.lower()
    parameter = gathered.kind.parameters[symbol]
    value = parse_value(setting.value.text, parameter.quantity.unit)
    if value is None:
        gathered.given[symbol] = unread(parameter)
        return
    gathered.given[symbol] = to_quantity(value, parameter, Origin.WRITTEN)
    if value.tolerance is not None:
        kept = gathered.part.toleranced | {symbol}
        gathered.part = replace(gathered.part, toleranced=kept)


def _ask_value(desk: Desk, ref: Word, gathered: Gathered) -> None:
    """Ask for a value that the kind needs and the line does not give."""
    parameter = value_parameter(gathered.kind)
    needed = parameter and not (parameter.quantity.known or parameter.optional)
    if parameter is None or not needed or parameter.symbol in gathered.given:
        return
    if gathered.part.fitted:
        message = f"{ref.text} has no value; it is taken as unknown."
        hint = "Write its value, or ? where it cannot be read."
        desk.doubt("value-missing", message, ref, hint)
    gathered.given[parameter.symbol] = unread(parameter)
