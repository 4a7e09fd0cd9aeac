"""Sample parts: every kind in every form that has a picture of its own."""

from dataclasses import replace
from types import MappingProxyType

from tests.every import of_every
from tests.stage.kinds.made import made
from tracegraph.quantity import exact
from tracegraph.stage.kind import Form
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part

LONG = "<script>alert('pin')</script> " * 10


def forms(word: str) -> list[Part]:
    """Return a kind's part in each of its own variants."""
    own = [text for text, kind in KINDS[word].variants.items() if kind == word]
    return [made(word), *(made(word, text) for text in own)]


def fewer(word: str) -> list[Part]:
    """Return a kind's part with each of its pins in turn not wired."""
    if KINDS[word].form is not Form.PINS:
        return []
    part = made(word)
    return [
        part.with_pins({pin: net for pin, net in part.pins.items() if pin != lost})
        for lost in part.pins
    ]


def more(word: str) -> list[Part]:
    """Return a kind's part with pins beyond those of its kind, where it may have any."""
    part = made(word)
    extra = {"9": "N9", "b": "NB", LONG: "NL", "17": "N17"}
    return [part.with_pins({**part.pins, **extra})] if part.kind.open_pins else []


def numbered(word: str) -> list[Part]:
    """Return a kind's part with written pin numbers, its pinout known and unknown."""
    part = made(word)
    numbers = {pin: str(k + 7) for k, pin in enumerate(part.pins)}
    known = replace(part, numbers=MappingProxyType(numbers))
    return [known, replace(known, pinout=False)]


def _special() -> list[Part]:
    ohms = exact(4700.0, "ohm")
    return [
        *(made(word, r1=ohms) for word in ("npn", "pnp")),
        *(made(word, r2=ohms) for word in ("npn", "pnp")),
        made("winding", "dot 1"),
        made("winding", "dot 2"),
        made("relay", pins=("a1", "a2")),
        made("opto", pins=("a", "k", "c", "e", "b")),
        made("ic", pins=tuple(str(k) for k in range(1, 15))),
        made("ic", pins=("VCC", "GND", "CS", "OUT", LONG)),
        made("connector", pins=("1",)),
        made("connector", pins=("GATE", LONG, "3")),
    ]


EVERY: list[Part] = [
    *(
        part
        for word in KINDS
        for group in (forms, fewer, more, numbered)
        for part in group(word)
    ),
    *_special(),
]


def name(part: Part) -> str:
    """Return a short name of a sample for the test's title."""
    told = (*sorted(part.variant), *sorted(part.given), *(pin[:6] for pin in part.pins))
    return " ".join((part.kind.word, *told, "numbered" if part.numbers else ""))


of_every_sample = of_every(EVERY, name)
