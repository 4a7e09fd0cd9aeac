"""What a group of hypotheses shows for a reading, computed by the solver."""

import re
from collections.abc import Sequence
from functools import cached_property
from itertools import permutations
from math import erf, log, sqrt
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.legs.group import HEALTHY, REF, Group
from tracegraph.diagnose.legs.step import HELPER_OHMS, Way
from tracegraph.meter.instrument import displayed, show
from tracegraph.meter.profile import Profile
from tracegraph.network.adjoint import sensitivities
from tracegraph.network.circuit import Circuit, Floats, compile_placed
from tracegraph.network.dense import solve_items
from tracegraph.network.place import Placed, place_around, place_part
from tracegraph.network.spread import Spread, spread_of
from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.branch import Conductor, Source
from tracegraph.stage.change import Cut
from tracegraph.stage.part import Part
from tracegraph.stage.reading import COLD, Mode
from tracegraph.stage.stage import Stage

EVEN = 1 / sqrt(3)  # standard deviation of what runs evenly from -1 to 1
MOVE_SECONDS = 1.0  # a hand moves a probe from the gate to the drain in about so long
JOINED = exact(0.1, "ohm")
VARIABLES = 32  # room for the independent variables of one part
LEAK, HELPER = "leak", "helper"
LEAST_OHMS = 0.05
MOST_OHMS = 5e6  # above it nobody reads more than "open": leakage, damp, fingers
ENDLESS = 1e15
AWAY = 1e12  # ohms of a path that is not there
OHMS_DRAWS, LEAST_DRAWS, TIED_DRAWS = 60, 12, 6  # specimens in ohms: of all healthy
# cells together, of any of them, of one with a path beside it that decides most
SEED = 11
_ERF = np.frompyfunc(erf, 1, 1)


def below(limit: Floats | float, mean: Floats, deviation: Floats) -> Floats:
    """Return the chance of a normal number to lie below a limit."""
    folds = (limit - mean) / (deviation * sqrt(2))
    return np.asarray(0.5 * (1 + np.asarray(_ERF(folds), float)))


class PinStep(NamedTuple):
    """A reading by the pins of a kind."""

    red: str
    black: str
    way: Way


class Predicted(NamedTuple):
    """What the cells of a group show for one reading.

    Attributes:
        mean: Display of the middle specimen, limits of the display disregarded: volts,
            or the logarithm of ohms; NaN where no answer was found.
        root: How it moves with each independent variable, (cells, variables); in ohms
            with each specimen drawn.
        own: Standard deviation beside that.
        blank: Chance that it shows OL whatever the mean says.
    """

    mean: Floats
    root: Floats
    own: Floats
    blank: Floats


class Predictor:
    """Foretells the readings of one group with one meter; remembers what it told."""

    def __init__(self, group: Group, profile: Profile) -> None:
        """Take a group and the meter, which must have a diode test."""
        self.group = group
        self.profile = profile
        self._variables: dict[str, int] = {LEAK: 0}
        self._told: dict[PinStep, Predicted] = {}

    def told(self, step: PinStep) -> Predicted:
        """Return what the cells show for a reading."""
        if step not in self._told:
            if step.way is Way.PLAIN:
                self._told.update(self._plain)
            elif step.way is Way.OHMS:
                self._told.update(self._in_ohms)
            else:
                self._told[step] = self._work_out(step)
        return self._told[step]

    @cached_property
    def _plain(self) -> dict[PinStep, Predicted]:
        """Return the six readings without anything beside the part, as one batch."""
        pairs = list(permutations(self.group.pins, 2))
        steps = [PinStep(red, black, Way.PLAIN) for red, black in pairs]
        found = self._diode(_Bench(self, steps[0]), pairs)
        return dict(zip(steps, found, strict=True))

    def _work_out(self, step: PinStep) -> Predicted:
        if self._bare(step):
            return self.told(step._replace(way=Way.PLAIN))
        bench = _Bench(self, step)
        (found,) = self._diode(bench, [(step.red, step.black)])
        return self._fired(found, step) if bench.fired else found

    def _bare(self, step: PinStep) -> bool:
        """Return whether what the hands do means nothing to this part."""
        if step.way is Way.TOUCHED:
            return not _fires(self.group, step)
        gate, _ = self.group.candidate.gate
        charged = step.way in {Way.CHARGED_UP, Way.CHARGED_DOWN}
        return charged and (not gate or gate in step[:2])

    def _fired(self, found: Predicted, step: PinStep) -> Predicted:
        """Return what a touched thyristor shows: whether it holds is chance."""
        plain = self.told(step._replace(way=Way.PLAIN))
        good = np.array([one.health == HEALTHY for one in self.group.cells])
        blank = np.where(good, 1 - self.group.candidate.holds, plain.blank)
        return Predicted(
            np.where(good, found.mean, plain.mean),
            np.where(good[:, None], found.root, plain.root),
            found.own,
            blank,
        )

    def _diode(
        self, bench: "_Bench", pairs: Sequence[tuple[str, str]]
    ) -> list[Predicted]:
        circuit, cells = bench.circuit, len(self.group.cells)
        (scale,) = self.profile.scales(Mode.DIODE)
        ends = np.array([[circuit.nodes[pin] for pin in pair] for pair in pairs])
        values = np.tile(bench.values, (len(pairs), 1))
        ends = np.repeat(ends, cells, axis=0)
        solved, nodes = solve_items(circuit, ends, scale.drive, values)
        by = sensitivities(circuit, ends, scale.drive, solved, nodes, values)
        means = displayed(solved.volts, solved.amps, Mode.DIODE, self.profile)
        roots = EVEN * np.einsum(
            "qcp,cpv->qcv", by.reshape(len(pairs), cells, -1), bench.slopes
        )
        nothing = np.zeros(cells)
        return [
            Predicted(mean, root, nothing, nothing)
            for mean, root in zip(means.reshape(-1, cells), roots, strict=True)
        ]

    @cached_property
    def _in_ohms(self) -> dict[PinStep, Predicted]:
        """Return ohms as logarithms: middle and reach of specimens drawn at random."""
        steps = [PinStep(*pair, Way.OHMS) for pair in permutations(self.group.pins, 2)]
        bench = _Bench(self, steps[0])
        circuit, drawn = bench.circuit, bench.drawn()
        ends = np.array([[circuit.nodes[pin] for pin in step[:2]] for step in steps])
        many = np.repeat(ends, len(drawn), axis=0)
        values = np.tile(drawn, (len(steps), 1))
        seen = show(circuit, many, Mode.OHMS, _endless(self.profile), values).values
        digit = self.profile.scales(Mode.OHMS)[0].step
        return {
            step: _of_ohms(part, bench.counts, digit)
            for step, part in zip(steps, seen.reshape(len(steps), -1), strict=True)
        }

    def column(self, name: str) -> int:
        """Return the place of an independent variable."""
        return self._variables.setdefault(name, len(self._variables))


def _endless(profile: Profile) -> Profile:
    """Return the meter with a last ohms range that never shows OL."""
    *ranges, last = profile.ohms
    return profile._replace(ohms=(*ranges, last._replace(full=ENDLESS)))


def _of_ohms(seen: Floats, counts: Sequence[int], digit: float) -> Predicted:
    """Return what specimens show in ohms as logarithms, cell by cell.

    Args:
        seen: Ohms of every specimen, cells in order, without a limit of the display.
        counts: Specimens of each cell.
        digit: Value of the last digit.
    """
    starts = np.cumsum([0, *counts[:-1]])
    size = np.array(counts)

    def summed(table: Floats) -> Floats:
        return np.asarray(np.add.reduceat(table, starts))

    finite = np.isfinite(seen)
    number = summed(finite.astype(float))
    logs = np.where(
        finite, np.log(np.where(finite, np.maximum(seen, LEAST_OHMS), 1)), 0
    )
    mean = summed(logs) / np.maximum(number, 1)
    root = np.zeros((len(size), OHMS_DRAWS))  # a specimen a column, in every reading
    cell = np.repeat(np.arange(len(size)), size)
    place = np.arange(len(seen)) - np.repeat(starts, size)
    root[cell, place] = np.where(finite, logs - mean[cell], 0.0) / np.sqrt(
        np.maximum(number, 1)[cell]
    )
    few = (root**2).sum(axis=1) / np.maximum(number - 1, 1)  # how far that is a guess
    own = np.sqrt((0.02 + 5 * digit / np.exp(mean)) ** 2 + few)
    over = 1 - below(log(MOST_OHMS), mean, np.sqrt((root**2).sum(axis=1) + own**2))
    none = 1 - number / size
    blank = np.where(number > 0, np.minimum(none + (1 - none) * over, 1.0), 1.0)
    mean = np.where(summed(np.isnan(seen).astype(float)) > 0, np.nan, mean)
    return Predicted(mean, root, own, blank)


class _Bench:
    """A group's circuits on the bench of one reading: structure, values, slopes."""

    def __init__(self, teller: Predictor, step: PinStep) -> None:
        group = teller.group
        (third,) = set(group.pins) - {step.red, step.black}
        self.fired = step.way is Way.TOUCHED and _fires(group, step)
        self._drive = teller.profile.scales(Mode.DIODE)[0].drive
        circuits = [self._compiled(group, part, step, third) for part in group.parts]
        self.circuit = circuits[0]
        self._spreads = [spread_of(one) for one in circuits]
        self._cells = group.cells
        base = np.stack([one.values for one in circuits])
        slopes = np.stack([_slopes(one, teller) for one in self._spreads])
        own = np.array([cell.part for cell in group.cells])
        self.values, self.slopes = base[own], slopes[own]
        self._rows = _path_rows(self.circuit)
        self.values[:, self._rows] = AWAY
        for at, cell in enumerate(group.cells):
            if cell.tie is not None:
                row, middle = self._rows[cell.tie], sqrt(cell.low * cell.high)
                self.values[at, row] = middle
                self.slopes[at, row, 0] = middle * log(cell.high / cell.low) / 2

    @property
    def counts(self) -> list[int]:
        """How many specimens are drawn of each cell."""
        healthy = sum(one.tie is None for one in self._cells)
        each = max(OHMS_DRAWS // healthy, LEAST_DRAWS)
        return [each if one.tie is None else TIED_DRAWS for one in self._cells]

    def drawn(self) -> Floats:
        """Return random specimens, cells in order."""
        rng = np.random.default_rng(SEED)
        found: list[Floats] = []
        for cell, count in zip(self._cells, self.counts, strict=True):
            spread = self._spreads[cell.part]
            values = spread.values(spread.draw(rng, count))
            values[:, self._rows] = AWAY
            if cell.tie is not None:
                ohms = np.exp(rng.uniform(log(cell.low), log(cell.high), count))
                values[:, self._rows[cell.tie]] = ohms
            found.append(values)
        return np.concatenate(found)

    def _compiled(self, group: Group, part: Part, step: PinStep, third: str) -> Circuit:
        if self.fired:
            part = part.with_given("on", exact(1.0, ""))
        stage = apply(Stage(parts=(part,)), group.changes, keep_names=True)
        fitted = stage.parts[0]
        placed = [
            *place_part(fitted, cold=not self.fired),
            *place_around(stage, COLD),
            *self._beside(group, fitted, step, third),
        ]
        return compile_placed(placed, (*group.pins, *stage.nets))

    def _beside(
        self, group: Group, part: Part, step: PinStep, third: str
    ) -> tuple[Placed, ...]:
        """Return what hands add to the part: a resistor, a wire, a charge on the gate."""
        red, black, way = step
        helper = exact(HELPER_OHMS, "ohm")
        wire = {
            Way.PULLED_UP: (helper, red),
            Way.PULLED_DOWN: (helper, black),
            Way.JOINED_UP: (JOINED, red),
            Way.JOINED_DOWN: (JOINED, black),
        }.get(way)
        if wire:
            return (Placed(HELPER, Conductor("a", "b", wire[0]), (third, wire[1])),)
        gate, symbol = group.candidate.gate
        if third != gate or way not in {Way.CHARGED_UP, Way.CHARGED_DOWN}:
            return ()
        ends = (third, black) if way is Way.CHARGED_UP else (red, third)
        farads = part.quantity(symbol).typical or 1e-9
        charge = Source(
            "plus",
            "minus",
            exact(self._drive.volts, "V"),
            exact(MOVE_SECONDS / farads, "ohm"),
        )
        return (Placed("charge", charge, ends),)


def _fires(group: Group, step: PinStep) -> bool:
    """Return whether touching the gate may fire a thyristor between these pins."""
    if not group.candidate.holds or any(isinstance(one, Cut) for one in group.changes):
        return False
    ends = {(one.red, one.black) for one in group.candidate.telling}
    return step[:2] in ends or ("mt1" in group.pins and "g" not in step[:2])


def _path_rows(circuit: Circuit) -> list[int]:
    """Return where the ohms of the paths beside the part lie in the value vector."""
    count = circuit.counts["Conductor"]
    owners = [one.owner for one in circuit.placed[:count]]
    first = int(circuit.columns["Conductor.ohms"].start)
    return [first + k for k, owner in enumerate(owners) if owner not in {REF, HELPER}]


def _slopes(spread: Spread, teller: Predictor) -> Floats:
    """Return the parameters' slopes by the independent variables, (parameters, all)."""
    below, above = spread.slopes()
    mean = (below + above) / 2
    table = np.zeros((len(spread.typical), VARIABLES))
    seen: dict[str, int] = {}
    for k, name in enumerate(spread.names):
        called = name
        if not spread.shared[k]:  # numbered by place, which helpers shift
            base = re.sub(r" \d+$", "", name)
            seen[base] = seen.get(base, 0) + 1
            called = f"{base} #{seen[base]}"
        table[:, teller.column(called)] = mean[:, k]
    return table
