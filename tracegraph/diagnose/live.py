"""A section that stands powered in a state, with all that may be wrong with it."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np

from tracegraph.meter.live.open_ends import OpenEnd, driven, open_ends
from tracegraph.meter.live.standing import Standing, StandingError, standings
from tracegraph.meter.live.tried import Levels, begin_of, levels_of, volts_of
from tracegraph.meter.profile import Profile
from tracegraph.meter.tried import Shown
from tracegraph.network.altered import Compiled
from tracegraph.network.circuit import Circuit, Floats
from tracegraph.network.family import Family
from tracegraph.stage.stage import Stage

MOST_WAYS = 2  # lasting ways that are gone on with
MOVES, SHARE = 0.1, 0.02  # volts, and part of them, by which an open end moves a net

Pair = tuple[str, str]


class Live:
    """A section under power: each of its families is brought to rest once.

    Attributes:
        ways: In how many ways it may stand; a latch has two.
        why: Why no reading of it counts; empty where they may.
    """

    def __init__(
        self, base: Compiled, profile: Profile, *, patient: bool = True
    ) -> None:
        """Take a section, compiled in its state.

        Args:
            base: The section.
            profile: The meter.
            patient: Whether what is not found at once is worth the time.
        """
        self._patient = patient
        self.stage: Stage = base.stage
        self.profile, self.why = profile, ""
        self._found: tuple[Standing, ...] = ()
        try:
            self._found = standings(base.stage, base.power)[:MOST_WAYS]
        except StandingError as fault:
            self.why = str(fault)
        if self._found and not any(one.lasts for one in self._found):
            self.why = f"the section never comes to rest in state {base.power}"
        self._levels: dict[tuple[int, int], Levels] = {}

    @property
    def ways(self) -> int:
        """In how many ways the section may stand, at least one."""
        return max(len(self._found), 1)

    def shown(self, index: int, own: Family, pairs: Sequence[Pair], way: int) -> Shown:
        """Return what a voltmeter shows of all variants of a family.

        Args:
            index: Which family it is.
            own: The family.
            pairs: Nets under red and black.
            way: From which way of the section they are looked for.
        """
        nodes = own.nodes(pairs)
        if not self._found:
            shape = (len(own.values), len(pairs))
            return Shown(np.full(shape, np.nan), np.zeros(shape, np.intp))
        return volts_of(self.levels(index, own, way), nodes, self.profile)

    @cached_property
    def _driven(self) -> list[tuple[OpenEnd, Floats]]:
        """Where all nodes stand with each unknown output low, then high."""
        first = self._found[0]
        inputs = {one.net for one in self.stage.inputs}  # the file tells their levels
        ends = [one for one in open_ends(first) if one.net not in inputs]
        return [(one, driven(first, one)) for one in ends]

    def deaf(self, red: str, black: str) -> str:
        """Return why volts between two nets tell nothing; empty if they do."""
        if self.why or not self._found:
            return self.why or "no steady level was found"
        first = self._found[0]
        nodes = first.circuit.nodes
        a, b = nodes[red], nodes[black]
        usual = first.nodes[a] - first.nodes[b]
        bound = MOVES + SHARE * abs(usual)
        for end, rows in self._driven:
            if not (np.abs(rows[:, a] - rows[:, b] - usual) <= bound).all():
                return f"what drives {end.pin} under power is not in the file"
        return ""

    def levels(self, index: int, own: Family, way: int) -> Levels:
        """Return how the variants of a family stand, worked out once."""
        if (index, way) not in self._levels:
            begin = self.begin(own.circuit, way)
            self._levels[index, way] = levels_of(
                own.circuit, own.values, begin, patient=self._patient
            )
        return self._levels[index, way]

    def begin(self, circuit: Circuit, way: int) -> Floats:
        """Return the levels of the section unaltered, for the nodes of a family."""
        one = self._found[way]
        known = {net: float(one.nodes[k]) for net, k in one.circuit.nodes.items()}
        legs = [name for name in circuit.nodes if "!" in name and name not in known]
        for name in legs:
            ref, _, pin = name.partition("!")
            part = self.stage.part(ref)
            net = part.pins.get(pin, "") if part else ""
            known[name] = known.get(net, 0.0)
        return begin_of(circuit, known)

    def standing(
        self, index: int, own: Family, variant: int, way: int
    ) -> tuple[Family, Floats]:
        """Return a family with the outputs locked that are, and where a variant stands."""
        levels = self.levels(index, own, way)
        return replace(own, values=levels.values), np.nan_to_num(levels.nodes[variant])
