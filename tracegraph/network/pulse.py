"""What a controller's pin does in time: pulses with edges of some length."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple


class Pulse(NamedTuple):
    """A source's voltage in time, the same every period.

    Attributes:
        low: Volts between pulses.
        high: Volts in a pulse.
        start: Seconds at which a pulse begins to rise.
        width: Seconds from half up to half down.
        period: Seconds from pulse to pulse.
        edge: Seconds that each edge takes.
    """

    low: float
    high: float
    start: float
    width: float
    period: float
    edge: float

    def at(self, time: float) -> float:
        """Return the volts at a time.

        >>> wave = Pulse(0.0, 5.0, 1e-6, 4e-6, 10e-6, 2e-6)
        >>> [round(wave.at(time), 6) for time in (0.0, 2e-6, 4e-6, 6.5e-6, 9e-6)]
        [0.0, 2.5, 5.0, 1.25, 0.0]
        """
        phase = (time - self.start) % self.period
        if phase < self.edge:
            share = phase / self.edge
        elif phase < self.width:
            share = 1.0
        else:
            share = max(1.0 - (phase - self.width) / self.edge, 0.0)
        return self.low + (self.high - self.low) * share

    def corners(self, begin: float, end: float) -> Iterable[float]:
        """Yield the times between two at which its slope changes."""
        for turn in (0.0, self.edge, self.width, self.width + self.edge):
            number = (begin - self.start - turn) // self.period
            time = self.start + turn + number * self.period
            while time < end:
                if time > begin:
                    yield time
                time += self.period


Pulses = Mapping[str, Pulse]


def corners(pulses: Pulses, begin: float, end: float) -> list[float]:
    """Return every corner of some pulses between two times, in order, and the end.

    Corners closer than a millionth of a period are one.
    """
    found = sorted(time for one in pulses.values() for time in one.corners(begin, end))
    shortest = 1e-6 * min((one.period for one in pulses.values()), default=1.0)
    apart = [
        time
        for time, later in zip(found, [*found, end][1:], strict=True)
        if later - time > shortest
    ]
    return [*apart, end]
