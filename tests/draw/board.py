"""A board on which a random section grows: its nets, its lines, its numbering."""

from collections.abc import Callable, Mapping
from random import Random
from typing import NamedTuple

ODD = (
    "PWM+", "MOT-", "TRIP#", "AC~", "A/B", "RUN#2", "-15REF", "3.3VA", "N_1", "NOTE",
    "INPUT", "end", "Ω_SENSE", "ПУСК", "HALF_BRIDGE_LOW_SIDE_GATE_RETN",
    "OVERTEMPERATURE_TRIP_LATCHED#", "OVERTEMPERATURE_TRIP_LATCHED/",
)  # fmt: skip


class Board:
    """What has been written so far.

    Attributes:
        random: Where chance comes from.
        grounds: Nets declared as ground.
        rails: Nets declared as rail.
        head: Lines of the section itself.
        lines: Lines of parts.
        found: Lines of what was found on the board.
        nets: Nets that parts stand on, grounds and rails left out.
        refs: Designators without units.
        pins: Pins of two-ended parts, with their nets.
        parts: How many parts there are.
    """

    def __init__(
        self, random: Random, grounds: list[str], rails: list[str], head: list[str]
    ) -> None:
        self.random = random
        self.grounds = grounds
        self.rails = rails
        self.head = head
        self.lines: list[str] = []
        self.found: list[str] = []
        self.nets: list[str] = []
        self.refs: list[str] = []
        self.pins: list[tuple[str, str]] = []
        self.parts = 0
        self._count = random.choice((0, 10, 100))
        self._odd = random.sample(ODD, 4)

    def ref(self, letters: str) -> str:
        """Return a new designator."""
        self._count += 1
        self.refs.append(f"{letters}{self._count}")
        return self.refs[-1]

    def two(self, letters: str, spec: str, a: str, b: str, arrow: str = "--") -> str:
        """Write a part with two ends; return its designator."""
        return self.written(self.ref(letters), spec, a, b, arrow)

    def written(self, ref: str, spec: str, a: str, b: str, arrow: str = "--") -> str:
        """Write a part with two ends that has its designator already."""
        self.parts += 1
        self.lines.append(f"{ref} {spec} {a} {arrow} {b}")
        if arrow == "--":
            self.pins += [(f"{ref}.1", a), (f"{ref}.2", b)]
        return ref

    def many(self, letters: str, spec: str, pins: Mapping[str, str]) -> str:
        """Write a part with named pins; return its designator."""
        ref = self.ref(letters)
        self.unit(ref, spec, pins)
        return ref

    def unit(self, ref: str, spec: str, pins: Mapping[str, str]) -> None:
        """Write a part with named pins that has its designator already."""
        self.parts += 1
        told = " ".join(f"{pin}={net}" for pin, net in pins.items())
        self.lines.append(f"{ref} {spec} {told}")

    def net(self, word: str = "N") -> str:
        """Return a new net."""
        if self._odd and self.random.random() < 0.06:
            name = self._odd.pop()
        else:
            self._count += 1
            name = f"{word}_{self._count}"
        self.nets.append(name)
        return name

    def old(self, word: str = "N") -> str:
        """Return a net that there is already, a new one where there is none."""
        lately = self.nets[-8:]
        return self.random.choice(lately) if lately else self.net(word)

    def some(self, word: str = "N") -> str:
        """Return a net of any sort, grounds and rails among them."""
        dice = self.random.random()
        if dice < 0.2:
            return self.ground()
        if dice < 0.4:
            return self.rail()
        return self.old(word) if dice < 0.75 else self.net(word)

    def ground(self) -> str:
        """Return a ground, mostly the first."""
        return self.random.choice((*self.grounds[:1] * 3, *self.grounds))

    def rail(self) -> str:
        """Return a rail, mostly the first."""
        return self.random.choice((*self.rails[:1] * 2, *self.rails))

    def source(self, word: str) -> str:
        """Return a net that a signal comes from: an input, or what there is."""
        if self.nets and self.random.random() < 0.6:
            return self.old()
        name = self.net(word)
        if self.random.random() < 0.8:
            self.head.append(f"input {name} 0V / 5V via 220R")
        return name

    def ohms(self) -> str:
        """Return a resistor's value."""
        return self.random.choice(
            ("10R", "47R", "1k", "4k7", "10k 1%", "220k", "?", "1M")
        )

    def farads(self) -> str:
        """Return a capacitor's value."""
        return self.random.choice(("100n", "1u", "2n2", "470p", "10n", "?"))


class Motif(NamedTuple):
    """A way for a section to grow.

    Attributes:
        parts: How many parts it adds.
        weight: How often it is taken.
        grow: What adds them.
    """

    parts: int
    weight: float
    grow: Callable[[Board], None]
