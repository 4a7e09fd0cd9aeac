"""Blocks of readings, events and bench conditions as lines."""

from decimal import Decimal
from math import floor, log10

from tracegraph.display import written
from tracegraph.stage.change import Add, Change, Cut, Remove
from tracegraph.stage.reading import (
    Block,
    Condition,
    Deed,
    Event,
    LogEntry,
    Mode,
    Reading,
    Shown,
)
from tracegraph.stage.writing.parts import Places, part_line

_PREFIXES = {-12: "p", -9: "n", -6: "u", 0: "", 3: "k", 6: "M"}


def log_lines(entry: LogEntry, where: Places) -> list[str]:
    """Return a block with its readings, or an event."""
    if isinstance(entry, Event):
        return [_event(entry)]
    return [
        _head(entry, where),
        *(_reading(one, entry, where) for one in entry.readings),
    ]


def _event(event: Event) -> str:
    verb = "cut link" if event.deed is Deed.CUT_LINK else event.deed.value
    return " ".join((verb, *event.target, *event.words))


def _head(block: Block, where: Places) -> str:
    words = ["readings"]
    words += [f'"{block.title}"'] if block.title else []
    words += [f'meter "{block.meter}"'] if block.meter else []
    return " ".join((*words, *tail_words(block.condition, Condition(), where)))


def _reading(reading: Reading, block: Block, where: Places) -> str:
    tail = tail_words(reading.condition, block.condition, where)
    probes = f"{reading.mode} {reading.red} {reading.black}"
    return " ".join((f"  {probes}", _shown(reading), *tail))


def tail_words(own: Condition, base: Condition, where: Places) -> list[str]:
    """Return what a condition has beyond another one, as words of a tail."""
    changes = own.changes[len(base.changes) :]
    words = [word for change in changes if (word := _bench(change))]
    words += [f"joined {' '.join(group)}" for group in own.joined[len(base.joined) :]]
    words += [f"unplugged {net}" for net in own.unplugged[len(base.unplugged) :]]
    words += [f"in {own.power}"] if own.power != base.power else []
    words += [f"after {written(own.after, 's')}"] if own.after != base.after else []
    added = (change.part for change in changes if isinstance(change, Add))
    return [*words, *(f"with {part_line(part, where)}" for part in added)]


def _bench(change: Change) -> str:
    match change:
        case Remove(part=ref):
            return f"without {ref}"
        case Cut(pin=pin):
            return f"lifted {pin}"
        case _:
            return ""


def _shown(reading: Reading) -> str:
    """Return what the display showed, as finely as it was written."""
    shown = reading.shown
    if shown is Shown.CLIMBS:
        rate = "" if reading.rate is None else f" {written(reading.rate, 'ohm')}"
        return f"climbs{rate}"
    if isinstance(shown, Shown):
        words = {Shown.BEEP: "yes", Shown.SILENT: "no"}
        return words.get(shown, shown.value)
    text = _to_step(shown, reading.resolution, reading.mode)
    return f"> {text}" if reading.at_least else text


def _to_step(number: float, step: float, mode: Mode) -> str:
    """Return a number with as many digits as its display had."""
    place = round(log10(step)) if step else -3
    power = _power(number, place, mode)
    digits = max(power - place, 0)
    scaled = Decimal(repr(number)).scaleb(-power)
    text = f"{scaled:.{digits}f}"
    return f"{text}{_PREFIXES[power] or _unit(number, digits, mode)}"


def _unit(number: float, digits: int, mode: Mode) -> str:
    """Return what keeps a number without a multiplier from being read otherwise."""
    if mode in {Mode.OHMS, Mode.BEEP}:
        return "R"
    if mode is Mode.CAP:
        return "F"
    # A diode reading of `1` is OL, one of ten or more is millivolts.
    return "V" if mode is Mode.DIODE and (not digits or abs(number) >= 10) else ""


def _power(number: float, place: int, mode: Mode) -> int:
    """Return the multiplier that the digits of a display stand before."""
    if mode in {Mode.DIODE, Mode.VOLTS}:
        return 0
    lowest = -12 if mode is Mode.CAP else 0
    size = floor(log10(abs(number))) if number else place
    fitting = [power for power in _PREFIXES if max(lowest, place) <= power <= size]
    least = min(power for power in _PREFIXES if power >= max(lowest, place))
    return max(fitting, default=least)
