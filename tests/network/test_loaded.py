"""A voltmeter loads what it reads: held to the divider rule, and to a solve with it on."""

import numpy as np
import pytest

from tests.test_examples import stage_of
from tracegraph.meter.live.tried import begin_of, levels_of
from tracegraph.network.altered import compiled
from tracegraph.network.circuit import Floats, compile_stage
from tracegraph.network.dense import powered, solve_items
from tracegraph.network.drive import Drive
from tracegraph.network.family import Between, Dead, Family, Instead, Repin, family
from tracegraph.network.loaded import loaded
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.state import in_state

VOLTMETER = Drive(0.0, 10e6, 0.0)
CHAIN = """\
ground COM
rail BUS 400V
rest BUS -- COM none
R1 1M BUS -- A
R2 1M A -- B
R3 1M B -- TAP
R4 10k TAP -- COM
state on BUS=400V
"""


@pytest.mark.parametrize(("net", "over"), [("A", 1e6), ("B", 2e6), ("TAP", 3e6)])
def test_a_chain_of_megohms_shows_less_than_is_there(net: str, over: float) -> None:
    """The divider rule with 10 megohm across the lower part (any textbook)."""
    stage = in_state(read(from_text("x", CHAIN)), "on")
    circuit = compile_stage(stage, "on")
    levels, _, _ = powered(circuit, ground=circuit.nodes["COM"])
    pair = np.array([[circuit.nodes[net], circuit.nodes["COM"]]])
    shown = loaded(circuit, circuit.values[None], levels, pair, VOLTMETER)
    below = 3.01e6 - over
    lower = below * 10e6 / (below + 10e6)
    assert shown[0, 0] == pytest.approx(400 * lower / (over + lower), rel=1e-6)


def treadmill(state: str) -> tuple[Family, Floats, list[tuple[str, str]]]:
    """Return ways to be wrong with the treadmill's board, and where it stands itself."""
    stage = in_state(stage_of("treadmill-gate-drive.trace"), state)
    base = compiled(stage, state)
    nets = base.circuit.nodes
    nodes, _, _ = powered(base.circuit, ground=nets["COM"])
    known = {net: float(nodes[0, k]) for net, k in nets.items()}
    known |= {"Q22!b": known["PB"], "Q22!c": known["DRV"], "Q22!e": known["V15"]}
    ways = (
        Between("COM", "GD", (0.0, 40.0, 1e4)),
        Instead("R24", (1e3, float("inf"))),
        Repin("Q22", (("b", ""),)),
        Repin("Q22", (("b", "DRV"), ("c", "PB"))),
        Dead("V15"),
    )
    own = family(base, ways)
    return own, begin_of(own.circuit, known), [(n, "COM") for n in stage.nets]


@pytest.mark.parametrize("state", ["run", "stop"])
def test_variants_read_as_they_do_with_the_meter_on(state: str) -> None:
    own, begin, named = treadmill(state)
    pairs = own.nodes([one for one in named if one[0] != "COM"])
    levels = levels_of(own.circuit, own.values, begin)
    shown = loaded(own.circuit, levels.values, levels.nodes, pairs, VOLTMETER)
    variants = np.repeat(np.arange(len(own.values)), len(pairs))
    solved, _ = solve_items(
        own.circuit,
        np.tile(pairs, (len(own.values), 1)),
        VOLTMETER,
        own.values[variants],
    )
    plain = solved.volts.reshape(shown.shape)
    assert np.isfinite(shown).all()
    np.testing.assert_allclose(shown, plain, atol=2e-3)


def test_a_dead_rail_stands_at_nothing() -> None:
    own, begin, _ = treadmill("run")
    levels = levels_of(own.circuit, own.values, begin)
    nodes = own.circuit.nodes
    last = levels.nodes[-1]  # the rail that is not there
    assert abs(last[nodes["V15"]] - last[nodes["COM"]]) < 0.01
    assert abs(last[nodes["GATE"]] - last[nodes["COM"]]) < 0.7
    assert levels.nodes[1][nodes["V15"]] - levels.nodes[1][nodes["COM"]] > 14.9
