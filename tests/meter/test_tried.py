"""What the meter shows of variants, against each of them shown alone."""

from dataclasses import replace
from functools import cache
from itertools import permutations
from math import inf

import numpy as np
import pytest

from tests.network.test_altered import FAN
from tests.test_examples import stage_of
from tracegraph.meter.instrument import show
from tracegraph.meter.profile import Profile
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.meter.tried import swayed, tried
from tracegraph.network.altered import compiled
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_stage
from tracegraph.network.family import Between, Family, Instead, Repin, Way, family
from tracegraph.network.spread import spread_of
from tracegraph.notation.source import from_text
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change, Cut, Tie
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

HANDHELD = find_meter(DEFAULT)
METERS = {name: find_meter(name) for name in (DEFAULT, "three-volt", "needle")}
MODES = (Mode.DIODE, Mode.OHMS, Mode.BEEP)
WAYS: dict[str, tuple[Way, list[tuple[Change, ...]]]] = {
    "fan": (
        Between("COM", "GATE", (0.0, 47.0, 3.3e3, inf)),
        [(Tie("COM", "GATE", ohms),) for ohms in (0.1, 47.0, 3.3e3)] + [()],
    ),
    "fan, a resistor": (Instead("R5", (inf,)), [(Cut(Pin("R5", "1")),)]),
    "fan, a pin": (Repin("Q2", (("b", ""),)), [(Cut(Pin("Q2", "b")),)]),
    "treadmill-gate-drive": (
        Between("DRV", "GD", (0.0, 150.0)),
        [(Tie("DRV", "GD", ohms),) for ohms in (0.1, 150.0)],
    ),
}


@cache
def section(name: str) -> Stage:
    if name.startswith("fan"):
        return read(from_text("fan", FAN))
    return replace(stage_of(f"{name}.trace"), log=())


@cache
def laid(name: str) -> Family:
    return family(compiled(section(name)), [WAYS[name][0]])


def pairs_in(circuit: Circuit, stage: Stage) -> Ints:
    """Return every other pair of nets, both ways round."""
    found = list(permutations(stage.nets, 2))[::2]
    return np.array([[circuit.nodes[a], circuit.nodes[b]] for a, b in found])


def settings() -> list[tuple[Profile, Mode]]:
    """Return every mode of every meter that has it."""
    return [
        (meter, mode)
        for meter in METERS.values()
        for mode in MODES
        if meter.scales(mode)
    ]


@pytest.mark.parametrize("name", WAYS)
@pytest.mark.parametrize(
    ("meter", "mode"), settings(), ids=[f"{m.name} {mode}" for m, mode in settings()]
)
def test_a_variant_shows_what_it_shows_alone(
    name: str, meter: Profile, mode: Mode
) -> None:
    """Auto-range, limits and needle meters' polarity among it; OL is beyond the last."""
    own, stage = laid(name), section(name)
    found = tried(own, pairs_in(own.circuit, stage), mode, meter)
    last = meter.scales(mode)[-1]
    for row, changes in enumerate(WAYS[name][1]):
        plain = apply(stage, changes, keep_names=True)
        circuit = compile_stage(plain)
        alone = show(circuit, pairs_in(circuit, stage), mode, meter)
        mine = np.where(found.values[row] > last.full, inf, found.values[row])
        assert not np.isnan(mine).any()
        far = inf if mode is not Mode.BEEP else 1e8  # beep: one scale without an end
        both = (mine < far) & (alone.values < far)
        assert mine[both] == pytest.approx(alone.values[both], rel=5e-4, abs=0.05)
        assert ((mine >= far) == (alone.values >= far)).all()
        assert (found.scale[row][both] == alone.scale[both]).all()


def test_beyond_the_limit_the_number_is_kept() -> None:
    """2.3 V stand at the tips where 2 V is the most that the display shows.

    How far a reading is beyond OL tells how likely OL was.
    """
    stage = read(from_text("x", "ground G\nR1 2k3 A -- G\n"))
    own = family(compiled(stage), [Instead("R1", (2.3e3, 1.9e3))])
    found = tried(own, own.nodes([("A", "G")]), Mode.DIODE, HANDHELD)
    assert found.values[:, 0] == pytest.approx([2.3, 1.9], abs=1e-3)


def test_scales_are_those_that_the_reading_needs() -> None:
    stage = read(from_text("x", "ground G\nR1 100R A -- G\n"))
    ohms = (100.0, 590.0, 610.0, 5.9e3, 6.1e3, 1e6)
    own = family(compiled(stage), [Instead("R1", ohms)])
    found = tried(own, own.nodes([("A", "G")]), Mode.OHMS, HANDHELD)
    full = [HANDHELD.scales(Mode.OHMS)[one].full for one in found.scale[:, 0]]
    assert full == [600, 600, 6e3, 6e3, 60e3, 6e6]
    assert found.values[:, 0] == pytest.approx(np.array(ohms) + HANDHELD.leads)


# What a healthy board's spread does to a reading.


def shown_as_worked_on(
    circuit: Circuit, pair: Ints, mode: Mode, values: Floats
) -> Floats:
    """Return displays of boards: volts in a diode test, else logarithms."""
    pairs = np.repeat(pair, len(values), axis=0)
    shows = show(circuit, pairs, mode, HANDHELD, values).values
    return shows if mode is Mode.DIODE else np.log(shows)


@pytest.mark.parametrize(
    ("name", "variant", "red", "black", "mode"),
    [
        ("fan", 3, "GATE", "COM", Mode.OHMS),
        ("fan", 2, "GATE", "COM", Mode.OHMS),
        ("fan", 3, "B", "COM", Mode.DIODE),
        ("fan", 1, "PWM", "COM", Mode.DIODE),
        ("treadmill-gate-drive", 1, "GATE", "COM", Mode.DIODE),
        ("treadmill-gate-drive", 1, "COM", "GD", Mode.DIODE),
        ("treadmill-gate-drive", 0, "DRV", "COM", Mode.OHMS),
    ],
)
def test_a_sway_is_what_a_moved_board_shows(
    name: str, variant: int, red: str, black: str, mode: Mode
) -> None:
    """Central differences over a tenth of every variable's half width."""
    own = laid(name)
    nodes = own.nodes([(red, black)])
    scale = int(tried(own, nodes, mode, HANDHELD).scale[variant, 0])
    found = swayed(own, variant, nodes, (mode, scale), HANDHELD)

    circuit = replace(own.circuit, values=own.values[variant])
    spread = spread_of(own.circuit)._replace(typical=own.values[variant])
    step = 0.1
    moves = step * np.eye(len(spread.names))
    up, down = (
        shown_as_worked_on(circuit, nodes, mode, spread.values(sign * moves))
        for sign in (1.0, -1.0)
    )
    difference = (up - down) / (2 * step)
    assert np.abs(difference).max() > 1e-3
    assert found.effect[0] == pytest.approx(difference, rel=0.02, abs=2e-5)


def test_what_differs_has_the_same_name_in_every_structure() -> None:
    """So readings of one board before and after an event share their parts' spread."""
    own = laid("fan")
    other = family(compiled(section("fan")), [Repin("Q2", (("b", ""),))])
    names = [
        set(
            swayed(one, 0, one.nodes([("GATE", "COM")]), (Mode.OHMS, 2), HANDHELD).names
        )
        for one in (own, other)
    ]
    assert names[0] == names[1]
    assert len(names[0]) == len(spread_of(own.circuit).names)


@pytest.mark.parametrize("factor", [0.1, 0.5, 1.0, 3.0, 10.0])
def test_another_value_has_the_same_tolerance(factor: float) -> None:
    """A 5 % resistor that was misread by ten is a 5 % resistor all the same."""
    stage = read(from_text("x", "ground G\nR1 1k 5% A -- G\n"))
    own = family(compiled(stage), [Instead("R1", (1e3 * factor,))])
    nodes = own.nodes([("A", "G")])
    scale = int(tried(own, nodes, Mode.OHMS, HANDHELD).scale[0, 0])
    found = swayed(own, 0, nodes, (Mode.OHMS, scale), HANDHELD)
    assert np.abs(found.effect).max() == pytest.approx(0.05, rel=0.01)
