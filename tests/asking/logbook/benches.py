"""What may be typed at the bench of the board beside this file."""

from functools import cache
from pathlib import Path

from tracegraph.asking.sources import source_of
from tracegraph.notation.source import Source
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

HERE = Path(__file__).parent
DISPLAYS = (
    *("612", "4k7", "0.22R", "1.0", "20M", "0.00k", "1R", "OL", "> 20M", "climbs 2k"),
    *("climbs", "unsteady", "diode 0.58", "diode 0.580", "diode 482", "diode -0.02"),
    *("diode OL", "diode 12.5V", "diode 1V", "b", "no beep", "beep N1 COM 12"),
    *("cap 2.20n", "cap 47u", "cap 2m", "cap 0.47F", "volts 10.4", "volts 12"),
    *("volts 0", "R14.1 COM 1k", "q12.base N1 1M2", "ohms SW P12 0,48k"),
)
BENCHES = (
    *("without Q13", "lifted R14.1", "lifted R14.1 R15.2 without Q12", "after 10s"),
    *("joined GATE COM", "unplugged J1", "in stop", "in stop after 2s without Q13"),
    "with C99 3n3 GATE -- COM",
    "without Q13 with R98 about 4k7 GATE -- COM",
)
EVENTS = (
    *("replaced Q12 pnp", 'replaced Q12 pnp "BC857" hfe=300', "replaced R14 22R"),
    *("removed Q13", "fitted D12", "cut link DRV B1", "removed q12 Q13"),
)


@cache
def board() -> Stage:
    """Return the board, called as though its file lay in the folder one works in."""
    found = source_of(HERE / "board.trace")
    return read(Source("board.trace", found.text))
