"""The levels of a section of 51 parts in all its states, against a net at a time.

The plain way solves every net's level through the meter by itself, from nothing, and has
no windows, no devices and no walk.
"""

from pathlib import Path
from time import process_time

import numpy as np

from tracegraph.levels.levels import levels
from tracegraph.meter.profile_file import find_meter
from tracegraph.network.circuit import compile_stage
from tracegraph.network.dense import solve_items
from tracegraph.network.drive import Drive
from tracegraph.notation.source import from_bytes
from tracegraph.stage.read import read
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state

PRESS = Path(__file__).parents[2] / "examples" / "press-bus-trip.trace"
METER = Drive(0.0, 10e6, 0.0)
REDRAW = (
    0.1  # seconds that a person takes for at once (R. B. Miller, 1968, from memory)
)


def run() -> None:
    """Print how the product compares."""
    stage = read(from_bytes(PRESS.name, PRESS.read_bytes()))
    profile = find_meter("handheld")
    levels(stage, profile)
    start = process_time()
    found = levels(stage, profile)
    own = process_time() - start
    start = process_time()
    count = _plainly(stage)
    plain = process_time() - start
    parts, states = len(stage.parts), len(found.states)
    print(f"{parts} parts, {states} states, {count} levels")
    print(f"a net at a time, levels only: {plain / own:.1f} times as long as all of it")
    print(f"all states told: {own / REDRAW:.1f} times what a person takes for at once")


def _plainly(stage: Stage) -> int:
    """Solve every level by itself and return how many there were."""
    count, grounds = 0, grounds_of(stage, live=True)
    for state in stage.states:
        circuit = compile_stage(in_state(stage, state.name), state.name)
        for net, ground in grounds.items():
            if net in circuit.nodes and net != ground:
                pair = np.array([[circuit.nodes[net], circuit.nodes[ground]]])
                solved, _ = solve_items(circuit, pair, METER)
                count += bool(solved.converged[0])
    return count
