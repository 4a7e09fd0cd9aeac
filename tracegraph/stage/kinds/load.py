"""What a board drives: resistive load, motor, lamp, buzzer."""

from tracegraph.quantity import Quantity, unknown, usual
from tracegraph.stage.branch import Branch, Coil, Conductor, Store
from tracegraph.stage.kind import Form, Kind, Parameter
from tracegraph.stage.kinds.failures import drifted, failing, opened, shorted
from tracegraph.stage.kinds.table import (
    PRACTICE,
    RAISED,
    TWO_PINS,
    parameters,
    words,
)
from tracegraph.stage.part import Part

PIEZO = "piezo"

_FAULTS = failing(
    f"load: {PRACTICE}",
    opened("1", 0.6),
    drifted("r", 0.5, 0.25),
    shorted("1", "2", 0.15),
)


def _resistive(part: Part) -> tuple[Branch, ...]:
    return (Conductor("1", "2", part.quantity("r")),)


def _wound(part: Part) -> tuple[Branch, ...]:
    return (*_resistive(part), Coil("1", "2", part.quantity("l")))


def _buzzer(part: Part) -> tuple[Branch, ...]:
    """Return a coil's resistance, or a ceramic disc's capacitance."""
    piezo = PIEZO in part.variant
    return (Store("1", "2", part.quantity("c")),) if piezo else _resistive(part)


def _load(
    word: str,
    title: str,
    letters: tuple[str, ...],
    ohms: Quantity,
    why: str,
    aliases: tuple[str, ...] = (),
) -> Kind:
    extra = {
        "motor": (Parameter("l", usual(1e-3, 1e-5, 0.1, "H"), 0.3, PRACTICE),),
        "buzzer": (Parameter("c", usual(20e-9, 5e-9, 60e-9, "F"), 0.3, PRACTICE),),
    }
    return Kind(
        word,
        title,
        letters,
        TWO_PINS,
        Form.EITHER,
        symbol=word,
        cold={"motor": _wound, "buzzer": _buzzer}.get(word, _resistive),
        faults=_FAULTS,
        aliases=aliases,
        value="r",
        parameters=parameters(
            Parameter("r", ohms, 0.2, f"{why}: {PRACTICE}"), *extra.get(word, ())
        ),
        rate=1.0,
        rate_source=f"off the board, seldom the cause: {PRACTICE}",
        raised=RAISED,
        roles=("load",),
        ratings=("V", "A", "W"),
        variants=words({PIEZO: word} if word == "buzzer" else {}),
    )


LOADS = (
    _load(
        "load",
        "resistive load",
        ("R", "RL", "E", "H"),
        unknown("ohm", 0.1, 1e6),
        "heater, valve or other",
        ("heater", "coil", "solenoid", "valve"),
    ),
    _load(
        "motor",
        "motor",
        ("M", "MOT"),
        usual(5.0, 0.1, 200.0, "ohm"),
        "winding of a small DC motor; a fan with electronics inside is an `ic`",
    ),
    _load(
        "lamp",
        "lamp",
        ("LA", "H", "E", "DS", "HL", "L"),
        usual(10.0, 0.5, 500.0, "ohm"),
        "a cold filament, about a tenth of the hot one",
        ("bulb",),
    ),
    _load(
        "buzzer",
        "buzzer",
        ("BZ", "LS", "B", "HA", "BUZ"),
        usual(40.0, 8.0, 1e4, "ohm"),
        "magnetic type",
        ("sounder", "speaker"),
    ),
)
