"""A wave as a page and as a picture: invented traces, so that every figure is known."""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
import pytest

from tracegraph.quantity import exact
from tracegraph.stage.change import Remove
from tracegraph.stage.reading import Condition
from tracegraph.views.letters import plain_letters
from tracegraph.views.page import respelt
from tracegraph.views.plain import plain_text
from tracegraph.views.svg import svg
from tracegraph.views.wave_page import wave_page
from tracegraph.views.wave_sheet import ticks, wave_sheet
from tracegraph.waves.measures import measures
from tracegraph.waves.result import Driven, Gate, Loss, Switch, Trace, Wave

PERIOD = 50e-6
CAUTIONS = ("HV+ stands at 320 V when powered.", "COM is hot.")


class Shape(NamedTuple):
    """What a made-up trace looks like: top, seconds up, seconds down."""

    top: float
    rise: float
    fall: float


def trace(shape: Shape, switch: Switch | None, *, settled: bool = True) -> Trace:
    """Return two periods: up at 5 us, down from 25 us, straight edges."""
    top, rise, fall = shape
    one = [(0, 0.2), (5e-6, 0.2), (5e-6 + rise, top), (25e-6, top), (25e-6 + fall, 0.2)]
    points = [(t + k * PERIOD, v) for k in range(2) for t, v in [*one, (PERIOD, 0.2)]]
    times, volts = np.array(points, float).T
    amps = np.gradient(volts) * 0.02
    gate = Gate(42e-9, 0.35, 0.62, 12.4e-3)
    switches = (switch,) if switch else ()
    found = measures(times, volts)
    return Trace(times, volts, amps, found, gate, switches, settled, 3)


GOOD = Switch(
    "Q1",
    "N-channel MOSFET",
    *(3.0, 9.0, 0.01, True, 0.2, 14.3),
    Loss(150e-9, 110e-9, 320.0, None, 20e3, None, None, "R99 load 47R HV+ -- MOT-"),
)
POOR = Switch(
    "Q1",
    "N-channel MOSFET",
    *(3.0, 9.0, 0.34, False, 0.2, 7.8),
    Loss(1.5e-6, 3e-6, 320.0, 5.0, 20e3, 3.6e-3, 2.1e-3),
)


def wave(*, altered: bool, state: str = "cold") -> Wave:
    healthy = trace(Shape(14.3, 0.4e-6, 0.3e-6), GOOD)
    poor = trace(Shape(7.8, 3e-6, 9e-6), POOR, settled=False)
    return Wave(
        "GATE",
        "COM",
        Condition(state, changes=(Remove("Q12"),) if altered else ()),
        (Driven("PWM", 0.0, 3.3, exact(220.0, "ohm"), 20e3, 0.4),),
        poor if altered else healthy,
        healthy if altered else None,
        ("C9 (line 7) holds 2.2 µF at the gate GATE: 2.2 nF meant?",)
        if altered
        else (),
        ("Q1: no qg written, 40 nC at 10 V taken, the usual for its size",),
    )


@pytest.mark.parametrize(("name", "altered"), [("as-it-is", False), ("altered", True)])
def test_the_page(name: str, altered: bool, golden: Callable[[str, str], None]) -> None:
    found = wave(altered=altered, state="run" if altered else "cold")
    page = wave_page("pump drive", found, CAUTIONS if altered else ())
    golden(f"views/wave-{name}.txt", plain_text(page, 80))


def test_the_page_in_plain_letters_fits_a_narrow_terminal() -> None:
    page = wave_page("pump drive", wave(altered=True), CAUTIONS)
    text = plain_text(respelt(page, plain_letters), 80)
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 80


def test_the_picture(golden: Callable[[str, str], None]) -> None:
    golden("views/wave.svg", svg(wave_sheet("pump drive", wave(altered=True))))


def test_the_picture_tells_itself_in_words() -> None:
    told = svg(wave_sheet("pump drive", wave(altered=False)))
    assert "<desc>Volts over time: GATE against COM; PWM switches" in told
    assert "One rise: 320 ns from 10 to 90 %" in told


@pytest.mark.parametrize(
    ("low", "high"), [(-0.8, 15.2), (0.0, 1e-6), (-320.0, 12.0), (4.99, 5.01)]
)
def test_ticks_are_few_and_inside(low: float, high: float) -> None:
    found = ticks(low, high)
    assert 2 <= len(found) <= 8
    assert all(low - 1e-9 <= one <= high + 1e-9 for one in found)
