"""What is wrong with a display that its mode can't show, in the trade's words."""

from tracegraph.marking import parse_any
from tracegraph.stage.meaning.values import MEANINGS
from tracegraph.stage.reading import UNITS, Mode

_SHOWS = {
    Mode.OHMS: "shows ohms: 470, 4k7, 2.2M or OL",
    Mode.DIODE: "shows volts: 0.612, 612 (millivolts) or OL",
    Mode.BEEP: "beeps or not: yes, no, or the ohms beside it",
    Mode.CAP: "shows farads: 2.2n, 100n, 47u",
    Mode.VOLTS: "shows volts: 0.05, 12.1, -0.02",
}
_HINT = "Write it as it stood there: 1k0, 0.58, OL, yes, no, > 20M, climbs."
_BELOW = "Charge left on the board does that: empty it, and take the reading again."


def odd_display(text: str, mode: Mode) -> tuple[str, str]:
    """Return the message and the hint for a text that is no display in this mode.

    >>> odd_display("22k", Mode.DIODE)[0]
    '`22k` is ohms; diode mode shows volts: 0.612, 612 (millivolts) or OL.'
    """
    value = parse_any(text.lstrip("> "))
    unit = UNITS[mode] or "ohm"
    if value and value.number < 0 and unit in {"ohm", "F"} and value.unit in {"", unit}:
        return f"`{text}` is below zero; a reading in {mode} mode never is.", _BELOW
    if value and value.unit in MEANINGS and value.unit != unit:
        return f"`{text}` is {_plural(value.unit)}; {mode} mode {_SHOWS[mode]}.", (
            f"Was the meter set to {_meant(value.unit)}?"
        )
    return f"`{text}` is no display in {mode} mode.", _HINT


def _plural(unit: str) -> str:
    return {"ohm": "ohms", "V": "volts", "F": "farads"}.get(unit, MEANINGS[unit])


def _meant(unit: str) -> str:
    """Return the mode of a meter that shows this unit."""
    modes = [mode for mode in Mode if UNITS[mode] == unit]
    return " or ".join(modes) if modes else "another mode"
