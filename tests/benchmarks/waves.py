"""Five periods of the treadmill's gate: our steps beside scipy's Radau.

The section is written out once more by hand, with the rails held stiffly and a
hundredth of a picofarad at every net without a capacitance, so that it is a plain differential
equation; Radau starts anew at every corner of the input. Both are held against a
Radau run of a thousand times the accuracy.
"""

from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import process_time

import numpy as np
from scipy.integrate import solve_ivp

from tests.network.written_out import Treadmill
from tracegraph.asking.sources import source_of
from tracegraph.network.circuit import Floats, compile_stage
from tracegraph.network.pulse import Pulse, corners
from tracegraph.network.switching import at_rest, driven, follow
from tracegraph.stage.read import read
from tracegraph.stage.state import in_state

FILE = Path("examples/treadmill-gate-drive.trace")
PERIOD, PERIODS = 1 / 8e3, 5
PULSE = Pulse(0.0, 5.0, 0.1 * PERIOD, 0.6 * PERIOD, PERIOD, 20e-9)
LOOSE, TIGHT = 1e-3, 1e-7
SAMPLES = 20_000
RUNS = 3
Found = tuple[Floats, Floats]


def ours() -> Found:
    """Return times and gate volts of our own run."""
    stage = in_state(read(source_of(FILE)), "stop")
    circuit = compile_stage(stage, "stop")
    section = driven(circuit, {"input SPD": PULSE})
    course, _ = follow(section, at_rest(section), PERIODS * PERIOD)
    tree = section.section.system.tree
    nodes = course.unknowns @ tree.potentials.T
    return course.times, nodes[:, circuit.nodes["GATE"]] - nodes[
        :, circuit.nodes["COM"]
    ]


def theirs(accuracy: float) -> Found:
    """Return times and gate volts as Radau finds them, corner by corner."""
    board = Treadmill(PULSE)
    begin, state = 0.0, board.rest()
    times, volts = [np.zeros(1)], [state[5:6]]
    for corner in corners({"SPD": PULSE}, 0.0, PERIODS * PERIOD):
        run = solve_ivp(
            board.rates,
            (begin, corner),
            state,
            method="Radau",
            rtol=accuracy,
            atol=accuracy,
            first_step=min(1e-10, corner - begin),
        )
        times.append(run.t[1:])
        volts.append(run.y[5, 1:])
        begin, state = corner, run.y[:, -1]
    return np.concatenate(times), np.concatenate(volts)


def timed(work: Callable[[], Found]) -> tuple[float, Found]:
    """Return the median seconds of some runs, and what they found."""
    found, seconds = work(), []
    for _ in range(RUNS):
        begin = process_time()
        found = work()
        seconds.append(process_time() - begin)
    return median(seconds), found


def run() -> None:
    """Print seconds, steps, how far each is off, and the ratio."""
    own_seconds, own = timed(ours)
    their_seconds, other = timed(lambda: theirs(LOOSE))
    exact = theirs(TIGHT)
    grid = np.linspace(0, PERIODS * PERIOD, SAMPLES)
    fine = np.interp(grid, *exact)
    for name, seconds, found in (
        ("ours", own_seconds, own),
        ("Radau", their_seconds, other),
    ):
        off = np.abs(np.interp(grid, *found) - fine)
        print(
            f"  {name}: {seconds:.2f} s, {len(found[0])} points, off by "
            f"{off.mean() * 1e3:.1f} mV in the mean, {off.max() * 1e3:.0f} mV at most"
        )
    print(f"  Radau takes {their_seconds / own_seconds:.2f} times as long")
