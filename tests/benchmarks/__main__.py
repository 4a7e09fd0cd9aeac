"""Ratios, side by side in one run: `python -m tests.benchmarks [part ...]`.

Every part runs in a process of its own, with one thread for the linear algebra: set
in the environment, before numpy is there.
"""

import os
import subprocess
import sys
from importlib import import_module

PARTS = (
    "readings",
    "resistance",
    "convergence",
    "alterations",
    "memory",
    "shell",
    "drawing",
    "comparing",
    "diagnosing",
    "dictionary",
    "levels",
    "waves",
)
ONE_THREAD = dict.fromkeys(
    ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1"
)


def main(arguments: list[str]) -> int:
    """Run the parts named, or all of them."""
    if arguments[:1] == ["--here"]:
        import_module(f"tests.benchmarks.{arguments[1]}").run()
        return 0
    unknown = [name for name in arguments if name not in PARTS]
    if unknown:
        print(f"no part is called {unknown[0]}; parts: {', '.join(PARTS)}")
        return 2
    environment = os.environ | ONE_THREAD
    for part in arguments or PARTS:
        command = [sys.executable, "-m", "tests.benchmarks", "--here", part]
        print(f"== {part}", flush=True)
        subprocess.run(command, check=True, env=environment)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
