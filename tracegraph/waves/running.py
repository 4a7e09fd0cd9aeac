"""A section let run until two periods agree, then for the periods that are shown."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from tracegraph.network.circuit import (
    Circuit,
    Floats,
    UnknownValueError,
    compile_stage,
)
from tracegraph.network.moving import Stored
from tracegraph.network.switching import (
    Course,
    Driven,
    NotFollowedError,
    Point,
    at_rest,
    driven,
    follow,
    locked,
    volts_of,
)
from tracegraph.stage.stage import Stage, State
from tracegraph.waves.inputs import Drive
from tracegraph.waves.result import WaveError

MOST = 40  # periods that are waited for
WAVE = "wave"  # the state of all inputs at their first level
SHARE, FAINT_VOLTS, FAINT_AMPS = 2e-3, 5e-3, 1e-5  # by which two periods agree
SLOW = (0.2, 0.98)  # what is left of a difference after a period, to be leapt over
LEAP = 3  # periods between two leaps


@dataclass(frozen=True)
class Ran:
    """What a section did.

    Attributes:
        circuit: The section compiled.
        course: The periods shown.
        potentials: Node voltages in terms of the course's unknowns.
        rest: Node voltages before the first pulse, like `nodes`.
        settled: Whether two periods agree.
        periods: How many were waited for.
    """

    circuit: Circuit
    course: Course
    potentials: Floats
    rest: Floats
    settled: bool
    periods: int

    @cached_property
    def times(self) -> Floats:
        """Seconds since the first period shown began."""
        return np.asarray(self.course.times - self.course.times[0])

    @cached_property
    def nodes(self) -> Floats:
        """Node voltages, (times, nodes), each over the root of its component."""
        return np.asarray(self.course.unknowns @ self.potentials.T)

    def volts(self, net: str, against: str) -> Floats:
        """Return the volts of one net over another."""
        nodes = self.circuit.nodes
        return np.asarray(self.nodes[:, nodes[net]] - self.nodes[:, nodes[against]])


def run(stage: Stage, drive: Drive, periods: int, patience: int = MOST) -> Ran:
    """Return what a section does, once it does the same every period.

    Args:
        stage: The section as it stands, its state put in.
        drive: What its inputs do.
        periods: How many periods are shown.
        patience: For how many periods two are waited for that agree.

    Raises:
        WaveError: A part has no value, or the section cannot be solved.
    """
    out = set(stage.unplugged)
    settings = {net: told for net, told in drive.settings.items() if net not in out}
    still = replace(stage, states=(State(WAVE, settings),))
    try:
        circuit = compile_stage(still, WAVE)
    except UnknownValueError as unknown:
        ref = str(unknown).split(":", 1)[0]
        raise WaveError(
            f"{unknown}; write a value to try, or ask --without {ref}"
        ) from None
    pulses = {
        f"input {net}": one for net, one in drive.pulses.items() if net not in out
    }
    section = driven(circuit, pulses)
    period = 1 / drive.inputs[0].hertz
    try:
        section, rest = _rest(section)
        section, point, settled, waited = _settled(section, rest, period, patience)
        end = (waited + periods) * period
        course, _ = follow(section, point._replace(time=waited * period), end)
    except NotFollowedError as lost:
        raise WaveError(f"the section could not be followed in time: {lost}") from None
    tree = section.section.system.tree
    still_volts = tree.potentials @ rest.found.unknowns
    return Ran(circuit, course, tree.potentials, still_volts, settled, waited)


def _rest(section: Driven) -> tuple[Driven, Point]:
    """Return the levels before the first pulse, outputs without supply locked."""
    point = at_rest(section)
    own = locked(section, point)
    return (section, point) if own is section else (own, at_rest(own))


def _settled(
    section: Driven, point: Point, period: float, patience: int
) -> tuple[Driven, Point, bool, int]:
    """Return where a period begins that is like the one before, and how many it took."""
    past: list[Stored] = [point.found.stored]
    for number in range(1, patience + 1):
        _, point = follow(section, point, number * period)
        past.append(point.found.stored)
        own = locked(section, point)
        if _alike(section, past[-2], past[-1]) and number > 1 and own is section:
            return section, point, True, number
        section = own
        if number % LEAP == 0 and number < patience:
            ahead = _leap(past[-3:])
            point = point._replace(found=point.found._replace(stored=ahead))
            past[-1] = ahead
    return section, point, False, patience


def _alike(section: Driven, one: Stored, other: Stored) -> bool:
    """Return whether two periods begin with the same charges and currents."""
    before, _ = volts_of(section.section, one.charge)
    after, _ = volts_of(section.section, other.charge)
    far = np.abs(after - before) > SHARE * np.abs(after) + FAINT_VOLTS
    turned = np.abs(other.amps - one.amps) > SHARE * np.abs(other.amps) + FAINT_AMPS
    return not (far.any() or turned.any())


def _leap(past: list[Stored]) -> Stored:
    """Return where three periods point to, each difference a part of the one before.

    It only shortens the wait (Aitken's delta-squared process, any textbook of numerical
    analysis): what counts as settled is looked at after it.
    """
    return Stored(*(_limit(*rows) for rows in zip(*past, strict=True)))


def _limit(first: Floats, second: Floats, third: Floats) -> Floats:
    before, after = second - first, third - second
    with np.errstate(divide="ignore", invalid="ignore"):
        left = np.where(before != 0.0, after / before, 0.0)
        far = third + after * left / (1 - left)
    slow = (left > SLOW[0]) & (left < SLOW[1])
    return np.where(slow, far, third)
