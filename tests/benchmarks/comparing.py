"""Random alterations found by a comparison: the rate, the ties, and the time it takes."""

from pathlib import Path
from random import Random
from time import process_time

from tests.compare.judging import judged
from tests.compare.mutations import disguised, mutated
from tracegraph.asking.api import read
from tracegraph.compare.compare import compare
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"
MUTATIONS = 1000
SIZES = (12, 45, 200)
ROUNDS = 10
SERIES = ("10", "15", "22", "33", "47", "68")  # IEC 60063, E6


def run() -> None:
    """Print the rate over the examples, then the times for sections of three sizes."""
    _rate()
    print("parts  designators | ms: mean  most | found")
    for size in SIZES:
        for names in (True, False):
            _times(size, names=names)


def _rate() -> None:
    stages = [read(path) for path in sorted(EXAMPLES.glob("*.trace"))]
    found = first = shorter = ties = 0
    for case in range(MUTATIONS):
        random = Random(10_000 + case)
        reference = random.choice(stages)
        mutant = mutated(random, reference, random.randint(1, 4))
        traced = disguised(random, mutant.stage, names=random.random() < 0.5)
        verdict = judged(reference, mutant, traced)
        found += verdict.found
        first += verdict.first
        shorter += verdict.shorter
        ties += verdict.ties > 0
    print(
        f"{MUTATIONS} alterations of 1 to 4 differences: {found} found, of them"
        f" {first} told first, {shorter} told with fewer steps that do the same,"
        f" the others in a tie; {ties} comparisons have ties"
    )


def _times(size: int, *, names: bool) -> None:
    spent, found = [], 0
    for case in range(ROUNDS):
        random = Random(case)
        reference = section(random, size)
        mutant = mutated(random, reference, random.randint(1, 4))
        traced = disguised(random, mutant.stage, names=names)
        start = process_time()
        compare(traced, reference)
        spent.append(1e3 * (process_time() - start))
        found += judged(reference, mutant, traced).found
    print(
        f"{size:5}  {'same' if names else 'other':11} |"
        f" {sum(spent) / ROUNDS:8.0f} {max(spent):5.0f} | {found} of {ROUNDS}",
        flush=True,
    )


def section(random: Random, parts: int) -> Stage:
    """Return a random section: a ground, a rail, parts between neighbouring nets."""
    last = max(int(0.6 * parts), 3)

    def net(number: int) -> str:
        if random.random() < 0.3:
            return random.choice(("COM", "COM", "V15"))
        near = int(0.6 * number) + random.randint(-3, 3)
        return f"N{min(max(near, 0), last)}"

    lines = [_line(random, k, *(net(k) for _ in range(3))) for k in range(parts)]
    return read("\n".join(("ground COM", "rail V15 15V", *lines)) + "\n")


def _line(random: Random, number: int, a: str, b: str, c: str) -> str:
    dice, step = random.random(), random.choice(SERIES)
    b = b if a != b else "N0" if a != "N0" else "COM"
    if dice < 0.50:
        return f"R{number} {step}{random.choice('Rk')} {a} -- {b}"
    if dice < 0.70:
        return f"C{number} {step}n {a} -- {b}"
    if dice < 0.85:
        return f"D{number} diode {a} -> {b}"
    return f"Q{number} {random.choice(('npn', 'pnp'))} b={a} c={b} e={c}"
