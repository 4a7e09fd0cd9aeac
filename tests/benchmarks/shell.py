"""A first reading from a shell against an interpreter that imports numpy."""

import subprocess
import sys
from pathlib import Path
from time import perf_counter

EXAMPLE = Path(__file__).parents[2] / "examples" / "treadmill-gate-drive.trace"
NUMPY = "import numpy"
OURS = (
    "import sys; from tracegraph.cli import main; "
    f"sys.exit(main(['expect', {str(EXAMPLE)!r}, 'GATE', 'COM', '--mode', 'ohms']))"
)
BARE = "pass"


def run() -> None:
    """Print the best of several runs of each, whole processes."""
    bare, numpy, ours = (_best(code) for code in (BARE, NUMPY, OURS))
    print(f"bare interpreter {1e3 * bare:.0f} ms, with numpy {1e3 * numpy:.0f} ms")
    print(f"first reading {1e3 * ours:.0f} ms: {ours / numpy:.2f} times numpy's")


def _best(code: str) -> float:
    return min(_once(code) for _ in range(7))


def _once(code: str) -> float:
    start = perf_counter()
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
    return perf_counter() - start
