"""Windows against boards drawn at random: never too narrow, never too wide."""

import numpy as np
import pytest

from tracegraph.meter.instrument import displayed, show
from tracegraph.meter.profile import Profile, Scale
from tracegraph.meter.profile_file import built_in
from tracegraph.meter.unknowns.table import nodes_of
from tracegraph.meter.window import windows
from tracegraph.network.circuit import Circuit, Floats, compile_stage
from tracegraph.network.dense import solve_items
from tracegraph.network.spread import spread_of
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

PROFILE = built_in()["handheld"]
DRAWS = 10_000

GATE = """\
ground COM
rail P12 12V
rest P12 -- COM 1k8
nothing on PWM
R11 1k PWM -- B1
R12 12k B1 -- COM
Q11 npn b=B1 c=N1 e=COM
R13 1k P12 -- N1
D11 diode N1 -> DRV
Q12 pnp b=N1 e=DRV c=COM
R14 47R DRV -- GATE
R15 12k GATE -- COM
"""
CHAIN = "ground G\n" + "".join(f"R{k} 1k N{k} -- N{k + 1}\n" for k in range(1, 13))
MIXED = "ground G\nD1 diode A -> B\nD2 diode B -> G\nR1 10k A -- B\nR2 4k7 B -- G\n"
STEERED = "ground E\nQ1 npn b=B c=C e=E\nR1 10k C -- B\nR2 22k B -- E\n"


def drawn(circuit: Circuit, pair: tuple[str, str], mode: Mode, scale: Scale) -> Floats:
    """Return the displays of random healthy boards on one scale."""
    spread = spread_of(circuit)
    values = spread.values(spread.draw(np.random.default_rng(2026), DRAWS))
    pairs = np.repeat(nodes_of(circuit, [pair]), DRAWS, axis=0)
    solved, _ = solve_items(circuit, pairs, scale.drive, values)
    assert solved.converged.all()
    return displayed(solved.volts, solved.amps, mode, PROFILE)


@pytest.mark.parametrize(
    ("text", "red", "black", "mode"),
    [
        (GATE, "GATE", "COM", Mode.DIODE),
        (GATE, "COM", "GATE", Mode.DIODE),
        (GATE, "GATE", "COM", Mode.OHMS),
        (CHAIN, "N1", "N13", Mode.OHMS),
        (CHAIN, "N1", "N3", Mode.OHMS),
        (MIXED, "A", "G", Mode.DIODE),
        (STEERED, "C", "E", Mode.DIODE),
    ],
    ids=[
        "helper on",
        "helper reversed",
        "gate in ohms",
        "twelve",
        "two",
        "two junctions",
        "steered",
    ],
)
def test_a_window_holds_healthy_boards_and_little_more(
    text: str, red: str, black: str, mode: Mode
) -> None:
    circuit = compile_stage(read(from_text("bench", text)))
    nodes = nodes_of(circuit, [(red, black)])
    shown = show(circuit, nodes, mode, PROFILE)
    scale = _exact(PROFILE, mode, int(shown.scale[0]))
    seen = drawn(circuit, (red, black), mode, scale)
    window = windows(circuit, nodes, mode, PROFILE, scale)
    low, high = float(window.low[0]), float(window.high[0])
    inside = ((seen >= low) & (seen <= high)).mean()
    assert inside >= 0.995
    narrow, wide = np.quantile(seen, [0.0015, 0.9985])
    assert high - low <= 1.3 * (wide - narrow)
    assert window.worst_low[0] <= seen.min() + 1e-9
    assert window.worst_high[0] >= seen.max() - 1e-9


def _exact(profile: Profile, mode: Mode, index: int) -> Scale:
    """Return a scale of a meter without any error of its own."""
    return profile.scales(mode)[index]._replace(accuracy=0.0, digits=0)
