"""Many alterations of one section, warm from the section before, against each afresh."""

from pathlib import Path
from time import process_time

import numpy as np

from tracegraph.network.altered import altered_readings, compiled
from tracegraph.network.circuit import compile_stage
from tracegraph.network.drive import Drive
from tracegraph.network.ports import solve_pairs
from tracegraph.notation.source import from_text
from tracegraph.stage.alter import apply
from tracegraph.stage.read import read

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("treadmill-gate-drive", "solar-pump-half-bridge", "press-bus-trip")
NETS = 10
DIODE = Drive(1e-3, np.inf, 3.2)


def run() -> None:
    """Print a line an example: all single faults, pairs among its first nets."""
    print("example                  faults pairs | ms a fault: ours afresh | ratio")
    for name in NAMES:
        text = (EXAMPLES / f"{name}.trace").read_text("utf-8")
        stage = read(from_text(name, text))
        faults = [
            fault.changes
            for part in stage.parts
            if part.fitted
            for fault in part.kind.faults(part)
        ]
        nets = list(stage.nets)[:NETS]
        pairs = [(red, black) for red in nets for black in nets if red != black]
        start = process_time()
        ours = list(altered_readings(compiled(stage), faults, pairs, DIODE))
        warm = process_time() - start
        start = process_time()
        for changes in faults:
            after = apply(stage, changes)
            circuit = compile_stage(after)
            nodes = [[circuit.nodes[after.net(x) or x] for x in two] for two in pairs]
            solve_pairs(circuit, np.array(nodes), DIODE)
        cold = process_time() - start
        print(
            f"{name:24} {len(ours):6} {len(pairs):5} |"
            f" {1e3 * warm / len(ours):16.1f} {1e3 * cold / len(ours):6.1f} |"
            f" {cold / warm:5.1f}",
            flush=True,
        )
