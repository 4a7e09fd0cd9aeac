"""Grounds, rails, rests, inputs, links: what a file says besides its parts."""

from collections.abc import Callable, Iterable
from typing import TypeVar

from tracegraph.marking import Value, parse_any, parse_value
from tracegraph.notation.syntax import (
    GroundLine,
    InputLine,
    LinkLine,
    RailLine,
    RestLine,
    Statement,
    UnpluggedLine,
    Word,
)
from tracegraph.quantity import Quantity, exact, unknown, usual
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.joints import Key
from tracegraph.stage.meaning.names import spot
from tracegraph.stage.part import Pin
from tracegraph.stage.stage import (
    Ground,
    Input,
    Link,
    LinkForm,
    Rail,
    Rest,
    RestForm,
)

_RAIL_TOLERANCE = 0.05  # where none is written; common practice, no source
_REST_TOLERANCE = 0.02  # of a meter's reading of an unknown board
_STORE_TOLERANCE = 0.2
_DRIVER_OHMS = usual(50.0, 10.0, 300.0, "ohm")  # a logic output; no source
_DISPLAYED_OPEN = frozenset({"ol", "0l", "open", "1"})
_MILLIVOLTS = 10.0  # a diode reading of ten or more is millivolts

Record = TypeVar("Record")


class Nets:
    """Net names of a file, resolved: pins stand for the net they sit on."""

    def __init__(self, desk: Desk) -> None:
        """Take the joints as they now are."""
        self._desk = desk
        self._pins = desk.joints.names()

    def __call__(self, word: Word) -> str | None:
        """Return the name of the net that a word means; None after reporting."""
        key: Key | None = spot(self._desk, word)
        if key is None:
            return None
        if isinstance(key, Pin):
            return self._pins.get(key, str(key))
        return self._desk.joints.name(key)


def collect(
    lines: Iterable[Statement], read: Callable[[Statement], Iterable[Record]]
) -> tuple[Record, ...]:
    """Return the records that `read` finds in the lines, in order."""
    return tuple(record for line in lines for record in read(line))


def grounds(nets: Nets, line: Statement) -> Iterable[Ground]:
    """Yield the grounds that a line declares."""
    if isinstance(line, GroundLine):
        for word in line.nets:
            net = nets(word)
            if net:
                yield Ground(net, word.span)


def rails(desk: Desk, nets: Nets, ground: str, line: Statement) -> Iterable[Rail]:
    """Yield the rail that a line declares, over the first ground unless it says."""
    if not isinstance(line, RailLine):
        return
    net = nets(line.net)
    over = nets(line.over) if line.over else ground
    if not net or over is None:
        return
    if not over:
        message = f"Nothing says what {net} is measured against."
        desk.doubt("no-ground", message, line.net, "Write a line `ground COM`.")
    yield Rail(net, _rail_volts(desk, line), over, line.span)


def _rail_volts(desk: Desk, line: RailLine) -> Quantity:
    volts: Quantity | None = None
    tolerance = _RAIL_TOLERANCE
    for word in line.values:
        value = parse_value(word.text, "V")
        share = parse_value(word.text, "%") if word.text.endswith("%") else None
        if share:
            tolerance = share.number
        elif value:
            volts = exact(value.number, "V")
            tolerance = tolerance if value.tolerance is None else value.tolerance
        elif word.text != "?":
            message = f"`{word.text}` is no voltage for {line.net.text}."
            desk.error("wrong-unit", message, word, "Write it as 12V.")
    if volts is None and all(_no_volts(word) for word in line.values):
        message = f"The rail {line.net.text} has no voltage."
        desk.doubt("rail-without-voltage", message, line.net, "Write it as 12V.")
    return volts.within(tolerance) if volts else unknown("V")


def _no_volts(word: Word) -> bool:
    return word.text == "?" or word.text.endswith("%")


def inputs(desk: Desk, nets: Nets, line: Statement) -> Iterable[Input]:
    """Yield the driven net that a line declares."""
    if not isinstance(line, InputLine):
        return
    net = nets(line.net)
    if not net:
        return
    low = _level(desk, line.low) or exact(0.0, "V")
    high = _level(desk, line.high) or unknown("V")
    via = parse_value(line.via.text, "ohm") if line.via else None
    if line.via and via is None:
        desk.error("no-value", f"`{line.via.text}` is no resistance.", line.via)
    ohms = exact(via.number, "ohm") if via else _DRIVER_OHMS
    hertz, duty = _rhythm(desk, line.values)
    yield Input(net, low, high, ohms, hertz, duty, line.span)


def _level(desk: Desk, word: Word | None) -> Quantity | None:
    if word is None:
        return None
    value = parse_value(word.text, "V")
    if value is None:
        message = f"`{word.text}` is no level in volts."
        desk.error("wrong-unit", message, word, "Write the two levels as 0V / 5V.")
        return None
    return exact(value.number, "V")


def _rhythm(desk: Desk, words: tuple[Word, ...]) -> tuple[float | None, float | None]:
    """Return frequency and duty."""
    hertz = duty = None
    for word in words:
        value = parse_any(word.text)
        if value and value.unit == "Hz":
            hertz = value.number
        elif value and word.text.endswith("%"):
            duty = value.number
        else:
            message = f"`{word.text}` is neither a frequency nor a duty."
            desk.error("odd-word", message, word, "Write them as 18kHz 45%.")
    return hertz, duty


def rests(desk: Desk, nets: Nets, line: Statement) -> Iterable[Rest]:
    """Yield what a line says of the untraced rest of the board."""
    if not isinstance(line, RestLine):
        return
    a, b = nets(line.ends.left), nets(line.ends.right)
    if a and b:
        yield from _rest(desk, a, b, line)


def _rest(desk: Desk, a: str, b: str, line: RestLine) -> Iterable[Rest]:
    texts = [word.text.lower() for word in line.values if word.text != "/"]
    value = _amount(texts[0]) if len(texts) == 1 else None
    if texts == ["none"]:
        yield Rest(a, b, RestForm.NONE, span=line.span)
    elif texts[:1] == ["diode"] and len(texts) == 3 and _are_drops(texts[1:]):
        forward, backward = (_drop(text) for text in texts[1:])
        yield Rest(a, b, RestForm.DIODE, None, forward, backward, span=line.span)
    elif value and value.unit == "F":
        farads = exact(value.number, "F").within(_STORE_TOLERANCE)
        yield Rest(a, b, RestForm.CAPACITANCE, farads=farads, span=line.span)
    elif value:
        ohms = exact(value.number, "ohm").within(_REST_TOLERANCE)
        yield Rest(a, b, RestForm.OHMS, ohms, span=line.span)
    else:
        word = line.values[0] if line.values else line.ends.right
        hint = "Write what the meter showed: 1k8, 470u, none, or diode 0.45 / 1.20."
        desk.error(
            "odd-rest",
            f"`{word.text}` tells nothing of the rest of the board.",
            word,
            hint,
        )


def _amount(text: str) -> Value | None:
    """Return ohms or farads; a bare number is ohms as the meter shows them."""
    value = parse_any(text)
    return value if value and value.unit in {"ohm", "F", ""} else None


def _are_drops(texts: list[str]) -> bool:
    return all(text in _DISPLAYED_OPEN or parse_value(text, "V") for text in texts)


def _drop(text: str) -> float | None:
    """Return a diode reading in volts; None is open."""
    value = None if text in _DISPLAYED_OPEN else parse_value(text, "V")
    if value is None:
        return None
    bare = text.lstrip("-").isdigit()
    return value.number / 1000 if bare and value.number >= _MILLIVOLTS else value.number


def links(desk: Desk, nets: Nets, line: Statement) -> Iterable[Link]:
    """Yield the joint that a line declares."""
    if not isinstance(line, LinkLine):
        return
    a, b = nets(line.a), nets(line.b)
    if not a or not b:
        return
    if a == b:
        message = f"{a} is one net already: there is nothing to join."
        desk.doubt("both-ends-one-net", message, line.b)
    trusted = line.value is None or line.value.text != "?"
    value = parse_value(line.value.text, "ohm") if line.value and trusted else None
    if line.value and trusted and value is None:
        message = f"`{line.value.text}` is no resistance."
        desk.error("no-value", message, line.value, "Write it as 12R, or ? for a beep.")
    form = LinkForm(line.verb.text.lower())
    yield Link(a, b, form, value.number if value else 0.0, trusted, line.span)


def unplugged(nets: Nets, line: Statement) -> Iterable[str]:
    """Yield the nets whose plug is out."""
    if isinstance(line, UnpluggedLine):
        yield from (net for word in line.nets if (net := nets(word)))
