"""All ordered pairs, ohms and diode: the product against one plain solve a reading.

Ohms is auto-range on both sides: from the lowest range up, until one holds the
reading. The plain solve is timed on a sample of the pairs, and only where it finds an
answer; the product on all pairs, or on as many as the table says.
"""

from collections.abc import Callable
from random import Random
from time import process_time

import numpy as np

from tests.benchmarks.naive import Nets, by_nets, reading
from tests.sections import section
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_placed
from tracegraph.network.drive import Drive
from tracegraph.network.ports import solve_prepared
from tracegraph.network.skeleton import skeleton

SIZES = ((20, 40), (40, 40), (80, 30), (200, 10))  # nets, pairs for the plain solve
SEEDS = (1, 2, 3)
MOST = 6400  # pairs for the product: all, up to 80 nets
DIODE = Drive(1e-3, np.inf, 3.2)
FULL = tuple(600.0 * 10**power for power in range(6))
RANGES = tuple(Drive(0.4 / (2 * full), 2 * full, 0.4) for full in FULL)


def run() -> None:
    """Print a line a section."""
    print("plain solve: one fresh dense Newton a reading, timed on a sample of pairs")
    print(
        "nets ports   pairs sample | us a reading: ours plain | ratio: diode ohms both"
    )
    for nets, sample in SIZES:
        for seed in SEEDS:
            _line(nets, seed, sample)


def _line(nets: int, seed: int, sample: int) -> None:
    circuit = compile_placed(*section(Random(seed), nets))
    red, black = np.nonzero(~np.eye(circuit.size, dtype=bool))
    pairs = np.random.default_rng(seed).permutation(np.stack([red, black], axis=1))
    pairs = pairs[:MOST]
    ours = _timed(lambda: _diode(circuit, pairs)), _timed(lambda: _ohms(circuit, pairs))
    plain = _plain(by_nets(circuit), pairs[:sample])
    fast = [seconds / len(pairs) for seconds in ours]
    slow = [float(np.mean(times)) for times in plain]
    ratios = [slow[0] / fast[0], slow[1] / fast[1], sum(slow) / sum(fast)]
    print(
        f"{nets:4} {len(circuit.ports):5} {len(pairs):7} {sample:6} |"
        f" {1e6 * sum(fast) / 2:17.0f} {1e6 * sum(slow) / 2:5.0f} |"
        + "".join(f" {ratio:9.0f}" for ratio in ratios[:1])
        + "".join(f" {ratio:4.0f}" for ratio in ratios[1:])
        + f"   (plain: {2 * sample - len(plain[0]) - len(plain[1])} not found)",
        flush=True,
    )


def _timed(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return process_time() - start


def _diode(circuit: Circuit, pairs: Ints) -> Floats:
    return solve_prepared(skeleton(circuit), pairs, DIODE).volts


def _ohms(circuit: Circuit, pairs: Ints) -> Floats:
    """Return the displays in ohms, each pair up to the range that holds it."""
    prepared, left = skeleton(circuit), np.arange(len(pairs))
    shown = np.full(len(pairs), np.inf)
    for full, drive in zip(FULL, RANGES, strict=True):
        found = solve_prepared(prepared, pairs[left], drive)
        with np.errstate(divide="ignore", invalid="ignore"):
            ohms = np.where(found.open, np.inf, found.volts / found.amps)
        held = ohms <= full
        shown[left[held]] = ohms[held]
        left = left[~held]
    return shown


def _plain(nets: Nets, pairs: Ints) -> tuple[list[float], list[float]]:
    """Return the seconds of every reading that the plain way finds: diode, ohms."""
    diode, ohms = [], []
    for red, black in pairs.tolist():
        start = process_time()
        if reading(nets, red, black, DIODE) is not None:
            diode.append(process_time() - start)
        start = process_time()
        if _plain_ohms(nets, red, black) is not None:
            ohms.append(process_time() - start)
    return diode, ohms


def _plain_ohms(nets: Nets, red: int, black: int) -> float | None:
    for full, drive in zip(FULL, RANGES, strict=True):
        volts = reading(nets, red, black, drive)
        if volts is None:
            return None
        amps = float(drive.current(np.array(volts))[0])
        if volts <= full * amps and amps > 0:
            return volts / amps
    return np.inf
