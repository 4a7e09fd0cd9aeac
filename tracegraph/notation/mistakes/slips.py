"""Slips of the pen in a line whose shape is right: each a small check."""

import re
from collections.abc import Iterator

from tracegraph.diagnostics import Problem, error
from tracegraph.notation.syntax import Word
from tracegraph.notation.words import Branches

NET = re.compile(r"(?!-+$)[\w+\-/#~.]+")
_VALUE = re.compile(r"[\w+\-/#~.,@%°?*×²]+")
_REF = re.compile(r"[A-Za-z]+\d+(\.\S+)?")
_AMOUNT = re.compile(r"[\d.,]*\d[kKMRrunpµ]\d*")
_ONCE = {"ends": "two ways to go", "marked": "two marks", "about": "two values"}


def slips(tree: Branches) -> Problem | None:
    """Return the first thing that is wrong with a line of a right shape, or None."""
    return next((problem for check in _CHECKS for problem in check(tree)), None)


def _twice(tree: Branches) -> Iterator[Problem]:
    for part in tree.deep("part"):
        for name, words in _ONCE.items():
            for again in list(part.below(name))[1:]:
                yield error(
                    "said-twice",
                    f"{part.only('REF').text} has {words} on one line",
                    again.span,
                    "write two lines, or a chain where the copper goes on",
                )


def _no_left_end(tree: Branches) -> Iterator[Problem]:
    for part in tree.deep("part"):
        for pair in part.below("ends"):
            left = pair.only("LEFT")
            if not part.words("WORD") and _AMOUNT.fullmatch(left.text):
                yield error(
                    "missing-end",
                    f"`{left.text}` is a value, and no net stands before the arrow",
                    left.span,
                    f"write: {part.only('REF').text} {left.text} NET -- NET",
                )


def _odd_setting(tree: Branches) -> Iterator[Problem]:
    for owner in tree.deep(*_WITH_SETTINGS):
        for name, value in owner.settings():
            if not _VALUE.fullmatch(value.text):
                yield error(
                    "odd-net",
                    f"`{value.text}` can be neither a net nor a value",
                    value.span,
                    f"write {name.text}=NET; {LETTERS}",
                )


def _odd_station(tree: Branches) -> Iterator[Problem]:
    for station in tree.deep("step"):
        words = station.words()
        if not words:
            yield error("nameless-station", "no part stands here", station.span, _PART)
        elif len(words) == 1 and not station.settings():
            yield from _odd_net(words[0])
        elif not _REF.fullmatch(words[0].text):
            yield error(
                "nameless-station",
                f"`{words[0].text}` is no designator, so no part stands here",
                words[0].span,
                _PART,
            )


def _odd_net(word: Word) -> Iterator[Problem]:
    if word.quoted or not NET.fullmatch(word.text):
        yield odd_net(word)


def odd_net(word: Word) -> Problem:
    """Return the problem of a word that stands for a net and can't be one."""
    message = f"`{word.text}` can't be the name of a net"
    return error("odd-net", message, word.span, LETTERS)


def _bare_note(tree: Branches) -> Iterator[Problem]:
    for owner in tree.deep(*_WITH_WORDS):
        net = owner.name == "step"  # a station may be a net of this name
        for word in owner.words("WORD")[net:]:
            if word.text.lower() == "note":
                yield error(
                    "bare-note",
                    "the words of a note stand in quotes",
                    word.span,
                    'write: note "..."',
                )


def _lone_dash(tree: Branches) -> Iterator[Problem]:
    for owner in tree.deep(*_WITH_WORDS):
        for word in owner.words("WORD"):
            if word.text in _NO_ARROWS:
                yield error(
                    "odd-arrow",
                    f"`{word.text}` is no arrow that is known",
                    word.span,
                    "write: A -- B for a part that conducts both ways, A -> B one way",
                )


def _missing_comma(tree: Branches) -> Iterator[Problem]:
    for difference in tree.deep("except"):
        for word in difference.words("WORD"):
            if re.fullmatch(r"[RCLDQUTKJF]\d+", word.text, re.IGNORECASE):
                yield error(
                    "missing-comma",
                    f"`{word.text}` begins another difference",
                    word.span,
                    f"write a comma before it: , {word.text}",
                )


def _levels(tree: Branches) -> Iterator[Problem]:
    for line in tree.deep("input"):
        for stroke in line.words("SLASH")[1:]:
            yield error(
                "said-twice",
                "an input has one pair of levels",
                stroke.span,
                "write: input PWM 0V / 5V",
            )


_WITH_WORDS = ("part", "unknown", "step", "except", "event")
_WITH_SETTINGS = (*_WITH_WORDS, "supply", "state", "like")
_NO_ARROWS = frozenset(("-", "−", "=>", "==>", ">", "<", "---"))
LETTERS = "a net's name holds letters, digits and _ + - / # ~ ."
_PART = "a part in a chain begins with its designator: -- R13 1k --"
_CHECKS = (
    _bare_note,
    _lone_dash,
    _twice,
    _no_left_end,
    _odd_setting,
    _odd_station,
    _missing_comma,
    _levels,
)
