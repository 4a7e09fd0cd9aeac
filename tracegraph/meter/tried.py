"""What the meter shows of every variant of a family: all readings as one batch."""

from functools import cached_property
from typing import NamedTuple

import numpy as np

from tracegraph.meter.capacitance import show_farads
from tracegraph.meter.instrument import polarised, seen_through
from tracegraph.meter.moved import Bench
from tracegraph.meter.profile import Profile, Scale
from tracegraph.network.circuit import Circuit, Floats, Ints
from tracegraph.network.drive import Solution
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


class Usual:
    """What the section unaltered shows: where its variants are looked for first.

    Attributes:
        nodes: Nodes under red and black in the section's own structure, (readings, 2).
        mode: OHMS, DIODE or BEEP; the meter must have it.
        profile: The meter.
    """

    def __init__(
        self, section: Family, nodes: Ints, mode: Mode, profile: Profile
    ) -> None:
        """Take readings of a section unaltered."""
        self.nodes, self.mode, self.profile = nodes, mode, profile
        self._section = section
        self._plus = polarised(nodes, mode, profile)
        self._solved: dict[int, Solution] = {}

    def solved(self, scale: int, rows: Ints) -> Solution:
        """Return some readings as they are on a scale, whether they rest there or not."""
        if scale not in self._solved:
            drive = self.profile.scales(self.mode)[scale].drive
            prepared = self._section.prepared
            self._solved[scale] = solve_prepared(prepared, self._plus, drive)
        return self._solved[scale].take(rows)

    @cached_property
    def shown(self) -> Shown:
        """What it shows, (1, readings), the scale told from the lowest up."""
        scales = self.profile.scales(self.mode)
        count, last = len(self.nodes), len(scales) - 1
        values, rests = np.full(count, np.inf), np.full(count, last, np.intp)
        left = np.arange(count)
        for index, scale in enumerate(scales):
            seen = seen_through(self.solved(index, left), self.mode, self.profile)
            stays = ~(seen > scale.full) | (index == last)
            values[left[stays]], rests[left[stays]] = seen[stays], index
            left = left[~stays]
            if not left.size:
                break
        return Shown(values[None], rests[None])


def tried(
    family: Family,
    nodes: Ints,
    mode: Mode,
    profile: Profile,
    usual: Usual | None = None,
) -> Shown:
    """Return what every variant shows for every pair, auto-ranging as the meter does.

    The scale is looked for from that of the section unaltered: down while the one below
    holds the reading too, else up. As a display falls with the current of a lower scale,
    that is the lowest that holds it.

    Args:
        family: The variants.
        nodes: Nodes under red and black in their structure, (readings, 2).
        mode: OHMS, DIODE, BEEP or CAP; the meter must have it.
        profile: The meter.
        usual: The same readings of the section unaltered, where they are known.
    """
    variants, readings = len(family.values), len(nodes)
    if mode is Mode.CAP:
        return _farads(family, nodes, profile)
    if usual is None:
        plain = Family(family.circuit, family.nets, family.circuit.values[None])
        usual = Usual(plain, nodes, mode, profile)
    search = _Search(family, polarised(nodes, mode, profile), usual)
    values, scale = search.run(np.tile(usual.shown.scale[0], variants))
    shape = (variants, readings)
    return Shown(values.reshape(shape), scale.reshape(shape))


def _farads(family: Family, nodes: Ints, profile: Profile) -> Shown:
    """Return the capacitance that every variant shows for every pair."""
    variants, readings = len(family.values), len(nodes)
    pairs = np.tile(nodes, (variants, 1))
    values = np.repeat(family.values, readings, axis=0)
    shown = show_farads(family.circuit, pairs, profile, values)
    shape = (variants, readings)
    return Shown(shown.values.reshape(shape), shown.scale.reshape(shape))


class _Search:
    """The search for the scales on which variants rest."""

    def __init__(self, family: Family, plus: Ints, usual: Usual) -> None:
        self.family, self.plus, self.usual = family, plus, usual
        self.scales = usual.profile.scales(usual.mode)

    def run(self, start: Ints) -> tuple[Floats, Ints]:
        """Return displays and scales of all items, from a scale to begin at."""
        items, last = np.arange(len(start)), len(self.scales) - 1
        seen = self._seen(items, start)
        full = np.array([scale.full for scale in self.scales])
        values, scale = seen.copy(), start.copy()
        holds = ~(seen > full[start])
        down = np.flatnonzero(holds & (start > 0) & np.isfinite(seen))
        while down.size:
            below = scale[down] - 1
            under = self._seen(down, below)
            good = ~(under > full[below])
            values[down[good]], scale[down[good]] = under[good], below[good]
            down = down[good & (below > 0)]
        up = np.flatnonzero(~holds & (start < last))
        while up.size:
            above = scale[up] + 1
            over = self._seen(up, above)
            values[up], scale[up] = over, above
            up = up[(over > full[above]) & (above < last)]
        return values, scale

    def _seen(self, items: Ints, scale: Ints) -> Floats:
        """Return the displays of items, each on a scale of its own."""
        found = np.empty(len(items))
        for index in np.unique(scale).tolist():
            chosen = np.flatnonzero(scale == index)
            variants, rows = np.divmod(items[chosen], len(self.plus))
            near = self._near(index, rows)
            drive = self.scales[index].drive
            solved = self.family.solve(variants, self.plus[rows], drive, near)
            found[chosen] = seen_through(solved, self.usual.mode, self.usual.profile)
        return found

    def _near(self, scale: int, rows: Ints) -> Solution | None:
        """Return readings to begin from: bypasses begin with nothing across them."""
        circuit = self.family.circuit
        solved = self.usual.solved(scale, rows)
        more = circuit.counts["Bypass"]
        known = solved.ports.shape[1]
        if len(circuit.ports) == known:
            return solved
        if len(circuit.ports) - more != known:
            return None  # a structure of its own
        still = np.zeros((len(rows), more))
        return solved._replace(ports=np.concatenate([solved.ports, still], axis=1))


class Swayed(NamedTuple):
    """How displays move with what differs between healthy boards.

    In volts of a diode test or a live net, else in natural logarithms of ohms.

    Attributes:
        names: What differs, one name a variable.
        effect: For a variable's half width, (items, variables).
    """

    names: tuple[str, ...]
    effect: Floats


def swayed(
    family: Family,
    variant: int,
    nodes: Ints,
    on: tuple[Mode, int],
    profile: Profile,
    start: Floats | None = None,
) -> Swayed:
    """Return how readings of a variant, all on one scale, move with the board's spread.

    Args:
        family: The variants.
        variant: Which one.
        nodes: Nodes under red and black, (readings, 2).
        on: OHMS, DIODE or BEEP, or VOLTS of a family in a powered state; and the index
            of the scale.
        profile: The meter.
        start: Node voltages to begin from, (nodes,).
    """
    circuit, values = family.circuit, family.values[[variant]]
    mode, scale = on
    spread = _kept(spread_of(circuit), circuit, values[0])
    plus = polarised(nodes, mode, profile)
    own: Scale = profile.scales(mode)[scale]
    bench = Bench(circuit, spread, plus, mode, profile, own)
    many = np.repeat(values, len(nodes), axis=0)
    begin = None if start is None else np.repeat(start[None], len(nodes), axis=0)
    solved, there, _ = bench.solve(many, begin)
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
