"""What the meter shows of every variant of a family: all readings as one batch."""

from typing import NamedTuple

import numpy as np

from tracegraph.meter.instrument import polarised, seen_through
from tracegraph.meter.moved import Bench
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.drive import Drive, Solution
from tracegraph.network.family import Family
from tracegraph.network.ports import solve_prepared
from tracegraph.network.spread import Spread, spread_of
from tracegraph.stage.reading import Mode


class Shown(NamedTuple):
    """Displays of variants, (variants, readings).

    Attributes:
        values: Display in SI units on the scale that the meter settles on, its limit
            disregarded; infinite where nothing leads across, NaN where not found.
        scale: Index of that scale.
    """

    values: Floats
    scale: Ints


def tried(family: Family, nodes: Ints, mode: Mode, profile: Profile) -> Shown:
    """Return what every variant shows for every pair, auto-ranging as the meter does.

    Args:
        family: The variants.
        nodes: Nodes under red and black, (readings, 2).
        mode: OHMS, DIODE or BEEP; the meter must have it.
        profile: The meter.
    """
    variants, readings = len(family.values), len(nodes)
    count = variants * readings
    scales = profile.scales(mode)
    plus = polarised(nodes, mode, profile)
    values, rests = np.full(count, np.inf), np.full(count, len(scales) - 1, np.intp)
    left = np.arange(count)
    for index, scale in enumerate(scales):
        solved = _solved(family, left, plus, scale.drive)
        seen = seen_through(solved, mode, profile)
        stays = ~(seen > scale.full) | (index == len(scales) - 1)
        values[left[stays]], rests[left[stays]] = seen[stays], index
        left = left[~stays]
        if not left.size:
            break
    shape = (variants, readings)
    return Shown(values.reshape(shape), rests.reshape(shape))


def _solved(family: Family, items: Ints, plus: Ints, drive: Drive) -> Solution:
    """Solve items, beginning from what the section unaltered shows."""
    variants, rows = np.divmod(items, len(plus))
    usual = solve_prepared(family.prepared, plus, drive)
    near = usual.take(rows)
    return family.solve(variants, plus[rows], drive, near)


class Swayed(NamedTuple):
    """How displays move with what differs between healthy boards.

    In volts of a diode test, else in natural logarithms of ohms.

    Attributes:
        names: What differs, one name a variable.
        effect: For a variable's half width, (items, variables).
    """

    names: tuple[str, ...]
    effect: Floats


def swayed(
    family: Family, variant: int, nodes: Ints, mode: Mode, profile: Profile, scale: int
) -> Swayed:
    """Return how readings of a variant, all on one scale, move with the board's spread.

    Args:
        family: The variants.
        variant: Which one.
        nodes: Nodes under red and black, (readings, 2).
        mode: OHMS, DIODE or BEEP.
        profile: The meter.
        scale: Index of the scale.
    """
    circuit, values = family.circuit, family.values[[variant]]
    spread = _kept(spread_of(circuit), circuit, values[0])
    plus = polarised(nodes, mode, profile)
    own: Scale = profile.scales(mode)[scale]
    bench = Bench(circuit, spread, plus, mode, profile, own)
    many = np.repeat(values, len(nodes), axis=0)
    solved, there, _ = bench.solve(many)
    effect = bench.effect(solved, there, many)
    return Swayed(_keys(spread.names), np.nan_to_num((effect[0] + effect[1]) / 2))


def _kept(spread: Spread, circuit: Circuit, values: Floats) -> Spread:
    """Return the spread with tried resistors as tolerant, in per cent, as their own."""
    own = circuit.columns["Bypass.siemens"]
    varied = (spread.rows >= own.start) & (spread.rows < own.stop) & ~spread.geometric
    ratio = np.ones(len(spread.rows))
    rows = spread.rows[varied]
    ratio[varied] = values[rows] / circuit.values[rows]
    return spread._replace(below=spread.below * ratio, above=spread.above * ratio)


def _keys(names: tuple[str, ...]) -> tuple[str, ...]:
    """Return names that are the same in every structure: place in the owner's own row."""
    counts: dict[str, int] = {}
    found = []
    for name in names:
        stem = name.rpartition(" ")[0] if name[-1:].isdigit() else name
        counts[stem] = counts.get(stem, -1) + 1
        found.append(f"{stem} {counts[stem]}")
    return tuple(found)
