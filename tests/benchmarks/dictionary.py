"""All faults of the biggest example against many pairs: ours against the plain way.

Ours is one rig with all its rows, a column a pair, structures and skeletons among it.
The plain way is a fresh dense Newton solve for each fault and pair, its matrices ready;
it is timed on a sample. Both in diode test, one thread each.
"""

from pathlib import Path
from time import process_time

import numpy as np

from tests.benchmarks.naive import by_nets, reading
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.rig import Rig
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.network.circuit import compile_stage
from tracegraph.notation.source import from_text
from tracegraph.stage.alter import ChangeError, apply
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode

EXAMPLES = Path(__file__).parents[2] / "examples"
NAMES = ("treadmill-gate-drive", "press-bus-trip")
PAIRS = 24
SAMPLE = 40  # faults that the plain way solves


def run() -> None:
    """Print a line an example."""
    print(
        "example                 parts  rows pairs |  us a reading: ours plain | ratio"
    )
    profile = find_meter(DEFAULT)
    scale = profile.scales(Mode.DIODE)[0]
    rng = np.random.default_rng(1)
    for name in NAMES:
        stage = read(from_text(name, (EXAMPLES / f"{name}.trace").read_text("utf-8")))
        scene = Inquiry(stage, profile).weigh(stage).scene
        whole = scene.stage
        nets = list(scene.traced.nets)
        every = [(a, b) for a in nets for b in nets if a != b]
        pairs = [every[int(k)] for k in rng.permutation(len(every))[:PAIRS]]
        start = process_time()
        rig = Rig(whole, profile)
        rig.add(scene.hypotheses)
        rig.work_out([(a, b, Mode.DIODE) for a, b in pairs])
        ours = (process_time() - start) / (rig.count * PAIRS)
        spent, solved = 0.0, 0
        for k in rng.permutation(len(scene.hypotheses))[:SAMPLE]:
            one = scene.hypotheses[int(k)]
            ohms = one.ranges[0][0].low if one.ranges else float("nan")
            try:
                circuit = compile_stage(apply(whole, one.at(ohms), keep_names=True))
            except ChangeError:
                continue
            section = by_nets(circuit)
            start = process_time()
            for red, black in pairs:
                if red in circuit.nodes and black in circuit.nodes:
                    reading(
                        section, circuit.nodes[red], circuit.nodes[black], scale.drive
                    )
                    solved += 1
            spent += process_time() - start
        plain = spent / max(solved, 1)
        print(
            f"{name:23} {len(stage.parts):5} {rig.count:5} {PAIRS:5} |"
            f" {1e6 * ours:18.0f} {1e6 * plain:5.0f} | {plain / ours:5.1f}",
            flush=True,
        )
