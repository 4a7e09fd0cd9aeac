"""Peak memory of all ordered pairs in diode test."""

import subprocess
import sys

SIZES = (20, 80, 200)
WORK = """
import resource, sys
from random import Random
import numpy as np
from tests.sections import section
from tracegraph.network.circuit import compile_placed
from tracegraph.network.drive import Drive
from tracegraph.network.ports import solve_pairs
circuit = compile_placed(*section(Random(1), int(sys.argv[1])))
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
pairs = np.argwhere(~np.eye(circuit.size, dtype=bool))
solve_pairs(circuit, pairs, Drive(1e-3, np.inf, 3.2))
after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(f"{sys.argv[1]:>4} {len(pairs):7} {before / 1024:8.0f} {after / 1024:8.0f}")
"""


def run() -> None:
    """Print what a process of its own takes at most, before and after."""
    print("nets   pairs   before    peak   (megabytes)")
    for nets in SIZES:
        subprocess.run([sys.executable, "-c", WORK, str(nets)], check=True)
