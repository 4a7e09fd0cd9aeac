"""Two logs of readings laid side by side: which reading is which."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.stage.change import Change
from tracegraph.stage.reading import Block, Condition, Mode, Reading, Shown
from tracegraph.stage.stage import Stage

NO_NAMES: Mapping[str, str] = MappingProxyType({})
MODES = (Mode.OHMS, Mode.DIODE, Mode.BEEP, Mode.CAP)


class Logs(NamedTuple):
    """Two logs, and how the names of the first are called in the second.

    Attributes:
        good: The section with the good log; its parts and nets tell what is expected.
        suspect: The section with the log in doubt: another board, or the same again.
        nets: Nets, good to suspect; those left out are called alike.
        parts: Parts, likewise.
    """

    good: Stage
    suspect: Stage
    nets: Mapping[str, str] = NO_NAMES
    parts: Mapping[str, str] = NO_NAMES


class Both(NamedTuple):
    """One reading on both, with the nets that the good section calls its places."""

    red: str
    black: str
    good: Reading
    suspect: Reading


def in_both(logs: Logs) -> Iterator[Both]:
    """Yield every reading that both logs have, taken with the bench alike.

    In a section that is compared with itself, what is shared is no pair.
    """
    there = _readings(logs.suspect, logs.suspect)
    for key, reading in _readings(logs.good, logs.good).items():
        red, black, mode, bench = key
        names = tuple(logs.nets.get(net, net).lower() for net in (red, black))
        own = bench_word(reading.condition, logs.parts, logs.nets)
        for (a, b, other_mode, other_bench), other in there.items():
            same = (a.lower(), b.lower()) == names and other_mode is mode
            if same and other_bench in {bench, own} and other is not reading:
                yield Both(red, black, reading, other)


_Key = tuple[str, str, Mode, str]


def _readings(stage: Stage, named: Stage) -> dict[_Key, Reading]:
    """Return the last comparable reading of every pair, mode and bench."""
    found: dict[_Key, Reading] = {}
    for block in stage.log:
        for reading in block.readings if isinstance(block, Block) else ():
            nets = [named.net(name) or name for name in (reading.red, reading.black)]
            if reading.condition.cold and reading.mode in MODES and _tells(reading):
                bench = bench_word(reading.condition, NO_NAMES, NO_NAMES)
                found[nets[0], nets[1], reading.mode, bench] = reading
    return found


def _tells(reading: Reading) -> bool:
    return reading.shown not in {Shown.CLIMBS, Shown.UNSTEADY}


def bench_word(
    condition: Condition, parts: Mapping[str, str], nets: Mapping[str, str]
) -> str:
    """Return how the bench stood as a word, parts and nets called as in the suspect."""

    def word(change: Change) -> str:
        text = repr(change)
        for old, new in (*parts.items(), *nets.items()):
            text = text.replace(f"'{old}'", f"'{new}'")
        return text

    joined = [sorted(nets.get(net, net) for net in group) for group in condition.joined]
    changes = [word(change) for change in condition.changes]
    out = sorted(nets.get(net, net) for net in condition.unplugged)
    return f"{changes}{joined}{out}" if changes or joined or out else ""


def number_of(reading: Reading) -> float | None:
    """Return a display as a number, or None for OL, a beep and a mere lower bound."""
    if isinstance(reading.shown, Shown) or reading.at_least:
        return None
    return float(reading.shown)


def word_of(reading: Reading) -> str:
    """Return a display that is no number as a word: a mere lower bound is as good as OL."""
    if isinstance(reading.shown, Shown):
        return reading.shown
    return Shown.OPEN if reading.at_least else ""
