"""How many readings of many random sections are found, and how exactly."""

from random import Random
from time import process_time

import numpy as np

from tests.sections import section
from tracegraph.network.circuit import compile_placed
from tracegraph.network.drive import Drive, trusted
from tracegraph.network.ports import solve_pairs

SECTIONS = 10_000
PAIRS = 6
DRIVES = (
    Drive(1e-3, np.inf, 3.2),  # diode test
    Drive(0.4 / 1200, 1200.0, 0.4),  # ohms, junctions stay off
    Drive(3.0 / 3e3, 3e3, 3.0),  # ohms, junctions conduct
    Drive(9.0 / 3e5, 3e5, 9.0),  # needle meter, highest range
)


def run() -> None:
    """Print shares and the largest residual of all sections."""
    began, readings, found, trust, worst = process_time(), 0, 0, 0, 0.0
    for seed in range(SECTIONS):
        random = Random(seed)
        drive = DRIVES[seed % len(DRIVES)]
        parts, bent = random.uniform(1.0, 2.2), random.uniform(0.1, 0.6)
        placed, nets = section(
            random, random.randint(3, 30), parts=parts, semiconductors=bent
        )
        circuit = compile_placed(placed, nets)
        pairs = [random.choices(range(circuit.size), k=2) for _ in range(PAIRS)]
        solved = solve_pairs(circuit, np.array(pairs), drive)
        readings += PAIRS
        found += int(solved.converged.sum())
        trust += int(trusted(solved.residual, drive).sum())
        worst = max(worst, float(solved.residual.max()))
    print(f"{SECTIONS} sections of 3 to 30 nets, {readings} readings")
    print(f"found {found} ({found / readings:.4%}), trusted {trust}")
    print(f"largest Kirchhoff residual {worst:.1e} A")
    print(
        f"{1e3 * (process_time() - began) / SECTIONS:.1f} ms a section, compile included"
    )
