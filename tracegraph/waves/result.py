"""What a question for a wave comes to: traces, and what a scope measures on them."""

from typing import NamedTuple

from tracegraph.network.circuit import Floats
from tracegraph.quantity import Quantity
from tracegraph.stage.reading import Condition


class WaveError(ValueError):
    """A wave was asked for that the file says too little of, or that is not found."""


class Measures(NamedTuple):
    """A scope's measure menu; None is what a wave does not have.

    Attributes:
        top: The level that it stays at between rise and fall, volts.
        base: The level that it stays at between fall and rise.
        high: Its highest volts.
        low: Its lowest.
        hertz: How often it rises a second.
        width: Seconds from half up to half down.
        duty: Share of the period that it is over half.
        rise: Seconds from 10 to 90 % of the way up.
        fall: Seconds from 90 to 10 % of the way down.
        overshoot: Volts over the top.
        spike: Volts under the base, the negative spike.
    """

    top: float
    base: float
    high: float
    low: float
    hertz: float | None = None
    width: float | None = None
    duty: float | None = None
    rise: float | None = None
    fall: float | None = None
    overshoot: float = 0.0
    spike: float = 0.0

    @property
    def amplitude(self) -> float:
        """Top less base."""
        return self.top - self.base


class Gate(NamedTuple):
    """What goes in and out of the gate, or of what stands in for it.

    Attributes:
        charge: Coulombs that go in every period, and come out again.
        into: Greatest amperes into it.
        out: Greatest amperes out of it, a magnitude.
        watts: What the driver spends on it: charge, times amplitude, times frequency.
    """

    charge: float
    into: float
    out: float
    watts: float


class Loss(NamedTuple):
    """What a power device spends on switching.

    Attributes:
        on: Seconds that its gate, or its drain, takes to switch on.
        off: Seconds to switch off.
        volts: What it switches.
        amps: What it switches, or None with no load in the section.
        hertz: How often.
        joules: Loss of a cycle: half volts times amperes times both times.
        solved: The same from volts and amperes at every moment, or None.
        load: The line of a load to plug in, where there is none.
    """

    on: float
    off: float
    volts: float
    amps: float | None
    hertz: float
    joules: float | None
    solved: float | None
    load: str = ""

    @property
    def watts_an_ampere(self) -> float:
        """Watts for every ampere of load."""
        return 0.5 * self.volts * (self.on + self.off) * self.hertz


class Switch(NamedTuple):
    """The power device whose gate is at the net.

    Attributes:
        ref: Its designator.
        title: The trade's name of its kind.
        threshold: Gate volts at which it begins to conduct.
        on_volts: Gate volts at which it is fully on.
        between: Share of the period that its gate stands between the two.
        fully: Whether the gate gets there at all.
        least: Lowest gate volts over the source, in the sense that turns it on.
        most: Highest likewise.
        loss: What it spends on switching, or None while it does not switch.
    """

    ref: str
    title: str
    threshold: float
    on_volts: float
    between: float
    fully: bool
    least: float
    most: float
    loss: Loss | None


class Trace(NamedTuple):
    """One section's wave.

    Attributes:
        times: Seconds since the trace begins, rising.
        volts: At the net against its reference.
        amps: Into the capacitances at the net; empty where it has none.
        measures: What a scope's menu shows.
        gate: What goes into the gate, or None.
        switches: The power devices at the net.
        settled: Whether two periods agree.
        periods: How many it was let run before.
    """

    times: Floats
    volts: Floats
    amps: Floats
    measures: Measures
    gate: Gate | None
    switches: tuple[Switch, ...]
    settled: bool
    periods: int

    @property
    def switches_here(self) -> bool:
        """Whether anything happens at the net."""
        return self.measures.hertz is not None


class Driven(NamedTuple):
    """An input that switches.

    Attributes:
        net: Its net.
        low: Volts of its low level.
        high: Volts of its high level.
        via: The controller's output resistance.
        hertz: How often.
        duty: Share of the period at its high level.
    """

    net: str
    low: float
    high: float
    via: Quantity
    hertz: float
    duty: float


class Wave(NamedTuple):
    """The wave at a net, and beside it the healthy section's where it was altered.

    Attributes:
        net: The net.
        against: What its volts are measured against.
        condition: How the bench stands; its power names the state, if one was told.
        inputs: The inputs that switch, the nearest to the net first.
        asked: The section as asked for.
        healthy: The section as it is in the file; None where nothing is altered.
        doubts: What looks like a slip.
        taken: What was assumed.
    """

    net: str
    against: str
    condition: Condition
    inputs: tuple[Driven, ...]
    asked: Trace
    healthy: Trace | None
    doubts: tuple[str, ...]
    taken: tuple[str, ...]

    @property
    def period(self) -> float:
        """Seconds of one period of the input."""
        return 1 / self.inputs[0].hertz
