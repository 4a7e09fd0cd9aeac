"""A part with three legs on the bench: its own numbers, a meter with its own error.

Nothing here is the engine's: the part is built from the registry, what hands add to it
are parts and links of a section, and a charged gate is a threshold that is passed.
"""

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from tracegraph.diagnose.legs.candidate import Candidate
from tracegraph.diagnose.legs.group import loose
from tracegraph.diagnose.legs.step import Step, Way
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.meter.instrument import show
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats, compile_stage
from tracegraph.network.spread import spread_of
from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Mode, Shown
from tracegraph.stage.stage import Link, Stage

ON_VOLTS = 0.001
WARMTH = 0.0004  # volts between two readings
HELPER = "R1"
_CHARGED = {Way.CHARGED_UP: 1, Way.CHARGED_DOWN: -1}


@dataclass
class Specimen:
    """One part: where each pin is, what numbers it has, and the meter's error.

    Attributes:
        candidate: The kind.
        order: Place of the kind's pin on legs 1, 2 and 3.
        changes: What is wrong with it.
        draw: Seed of its numbers.
        profile: The meter.
    """

    candidate: Candidate
    order: tuple[int, int, int]
    changes: tuple[Change, ...]
    draw: int
    profile: Profile

    def __post_init__(self) -> None:
        """Draw the part's numbers and the meter's error."""
        self.rng = np.random.default_rng(self.draw)
        self.part = loose(self.candidate)
        self.pins = tuple(self.part.pins)
        self.gain = 1 + self.rng.uniform(-0.5, 0.5) * 0.005
        circuit = compile_stage(Stage(parts=(self.part,)))
        spread = spread_of(circuit)
        self.names = spread.names
        self.numbers = spread.draw(self.rng, 1)

    @property
    def roles(self) -> tuple[str, ...]:
        """What the legs really are."""
        specs = self.part.kind.pins
        return tuple(specs[place].role for place in self.order)

    def pin(self, leg: int) -> str:
        """Return the pin on a leg."""
        return self.pins[self.order[leg - 1]]

    def read(self, step: Step) -> Taken:
        """Return what the meter shows."""
        if self._turned_on(step):
            return self._shown(step, ON_VOLTS)
        if step.way is Way.TOUCHED and self._fired(step):
            return self._shown(step, 0.75)
        stage = self._bench(step)
        circuit = compile_stage(stage)
        nodes = [circuit.nodes[self.pin(leg)] for leg in (step.red, step.black)]
        values = self._values(stage)
        seen = show(circuit, np.array([nodes]), step.mode, self.profile, values)
        assert not np.isnan(seen.values[0])
        return self._shown(step, float(seen.values[0]))

    def _values(self, stage: Stage) -> Floats:
        """Return the drawn numbers in the bench's circuit; helpers have no spread."""
        spread = spread_of(compile_stage(stage))
        own: dict[str, list[float]] = {}
        for k, name in enumerate(self.names):
            own.setdefault(_bare(name), []).append(float(self.numbers[0, k]))
        found = [own[_bare(name)].pop(0) for name in spread.names]
        return spread.values(np.array([found]))

    def _bench(self, step: Step) -> Stage:
        """Return the part with what hands add to it."""
        parts, links = [self.part], list[Link]()
        third = self.pin(step.third)
        up = step.way in {Way.PULLED_UP, Way.JOINED_UP}
        end = self.pin(step.red if up else step.black)
        if step.way in {Way.PULLED_UP, Way.PULLED_DOWN}:
            pins = MappingProxyType({"1": third, "2": end})
            given = MappingProxyType({"r": exact(100e3, "ohm")})
            parts.append(Part(HELPER, KINDS["resistor"], pins, given=given))
        if step.way in {Way.JOINED_UP, Way.JOINED_DOWN}:
            links.append(Link(third, end))
        stage = Stage(parts=tuple(parts), links=tuple(links))
        return apply(stage, self.changes, keep_names=True)

    def _turned_on(self, step: Step) -> bool:
        """Return whether a charge on the gate is over the threshold of this part."""
        polarity = _CHARGED.get(step.way)
        kind = self.part.kind.word
        if polarity is None or self.changes or kind not in {"nfet", "pfet", "sicfet"}:
            return False
        if self.pin(step.third) != "g" or (polarity < 0) != (kind == "pfet"):
            return False
        circuit = compile_stage(Stage(parts=(self.part,)))
        values = self._values(Stage(parts=(self.part,)))
        (threshold,) = circuit.column("Channel.threshold", values)[0]
        volts = self.profile.diode.volts if self.profile.diode else 0.0
        return bool(volts > threshold)

    def _fired(self, step: Step) -> bool:
        kind = self.part.kind.word
        if self.changes or self.pin(step.third) != "g" or kind not in {"scr", "triac"}:
            return False
        if kind == "scr" and self.pin(step.red) != "a":
            return False
        return bool(self.rng.uniform() < self.candidate.holds)

    def _shown(self, step: Step, value: float) -> Taken:
        """Return a display: gain error, a finger's warmth, the last digit."""
        scales = self.profile.scales(step.mode)
        scale = next((one for one in scales if value <= one.full), scales[-1])
        if value > scale.full:
            return Taken(step, Shown.OPEN)
        warmth = WARMTH if step.mode is Mode.DIODE else 0.0
        value = value * self.gain + float(self.rng.normal(0, warmth))
        digits = round(max(value, 0.0) / scale.step) * scale.step
        return Taken(step, round(digits, 9), scale.step)


def _bare(name: str) -> str:
    return name if name.startswith(("type ", "ambient")) else name.rsplit(" ", 1)[0]
