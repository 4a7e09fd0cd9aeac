"""A meter as a source with limits: its ranges, and the three that come built in."""

from math import ceil, inf, log10
from typing import NamedTuple

from tracegraph.network.drive import Drive
from tracegraph.stage.reading import Mode

MOST_VOLTS = 1000.0  # no handheld shows more; common practice, no source
LEAST_VOLTS_STEP = 1e-4  # of the lowest volts range
VOLTS_RANGES = 5
MOST_FARADS = 0.1  # no handheld shows more; common practice, no source


class OhmsRange(NamedTuple):
    """One ohms range.

    Attributes:
        full: Full scale in ohms.
        volts: Open-circuit voltage in volts.
        behind: Series resistance in ohms.
        accuracy: Fraction of the reading.
        digits: Counts of the last digit added to the accuracy.
    """

    full: float
    volts: float
    behind: float
    accuracy: float = 0.01
    digits: int = 3


class DiodeRange(NamedTuple):
    """Diode test: a constant current with a voltage limit.

    Attributes:
        amps: Test current in amperes.
        volts: Open-circuit limit in volts.
        over: Displays OL above this many volts.
        accuracy: Fraction of the reading.
        digits: Counts of the last digit added to the accuracy.
    """

    amps: float
    volts: float
    over: float
    accuracy: float = 0.005
    digits: int = 2


class BeepRange(NamedTuple):
    """Continuity: beeps below so many ohms."""

    volts: float
    behind: float
    below: float


class CapRange(NamedTuple):
    """Capacitance: test frequency in hertz and test voltage."""

    hertz: float
    volts: float
    accuracy: float = 0.02
    digits: int = 5


class VoltsRange(NamedTuple):
    """DC volts: input resistance in ohms."""

    ohms: float
    accuracy: float = 0.005
    digits: int = 2


USUAL_VOLTS = VoltsRange(10e6)


class Scale(NamedTuple):
    """One scale of one mode, as the network sees it.

    Attributes:
        drive: The source, leads included.
        full: Displays OL above this.
        step: Value of the last digit.
        accuracy: Fraction of the reading.
        digits: Counts of the last digit added to the accuracy.
    """

    drive: Drive
    full: float
    step: float
    accuracy: float
    digits: int

    def error(self, shown: float) -> float:
        """Return how far off a display of this value may be."""
        return abs(shown) * self.accuracy + self.digits * self.step


class Profile(NamedTuple):
    """A meter.

    Attributes:
        name: What it is called.
        counts: Display counts; the last digit of a range is full scale / counts.
        ohms: Ohms ranges, lowest first.
        diode: Diode test, or None where the meter has none.
        beep: Continuity, or None.
        cap: Capacitance, or None.
        volts: DC volts.
        leads: Resistance of both test leads in ohms.
        red_plus: Whether red is plus in ohms and beep; False on needle meters.
    """

    name: str
    counts: int = 6000
    ohms: tuple[OhmsRange, ...] = ()
    diode: DiodeRange | None = None
    beep: BeepRange | None = None
    cap: CapRange | None = None
    volts: VoltsRange = USUAL_VOLTS
    leads: float = 0.2
    red_plus: bool = True

    def scales(self, mode: Mode) -> tuple[Scale, ...]:
        """Return the scales that a mode may settle on, lowest first; none if it has none."""
        if mode is Mode.OHMS:
            return tuple(self._ohms(one) for one in self.ohms)
        if mode is Mode.BEEP and self.beep:
            beep = self.beep
            drive = _behind(beep.volts, beep.behind + self.leads)
            return (Scale(drive, inf, self.step(self.ohms[0].full), 0.1, 3),)
        if mode is Mode.DIODE and self.diode:
            test = self.diode
            drive = Drive(test.amps, inf, test.volts)
            step = self.step(test.over)
            return (Scale(drive, test.over, step, test.accuracy, test.digits),)
        if mode is Mode.CAP and self.cap:
            drive = _behind(self.cap.volts, 1.0)  # only its accuracy is used
            return (
                Scale(drive, MOST_FARADS, 1e-12, self.cap.accuracy, self.cap.digits),
            )
        return self._volts() if mode is Mode.VOLTS else ()

    def _volts(self) -> tuple[Scale, ...]:
        """Return the volts ranges, a decade each; the meter loads all of them alike."""
        drive = Drive(0.0, self.volts.ohms, 0.0)
        steps = [LEAST_VOLTS_STEP * 10.0**k for k in range(VOLTS_RANGES)]
        return tuple(
            Scale(drive, min(full, MOST_VOLTS), step, *self.volts[1:])
            for step in steps
            if (full := self.counts * step) < 10 * MOST_VOLTS
        )

    def _ohms(self, one: OhmsRange) -> Scale:
        drive = _behind(one.volts, one.behind + self.leads)
        return Scale(drive, one.full, self.step(one.full), one.accuracy, one.digits)

    def step(self, full: float) -> float:
        """Return the value of the last digit on a range of this full scale.

        A display of 6000 counts shows 2.000 V in steps of a millivolt, not 0.33 mV:
        the step is the next power of ten.
        """
        return 10.0 ** ceil(log10(full / self.counts) - 1e-9)


def _behind(volts: float, ohms: float) -> Drive:
    return Drive(volts / ohms, ohms, volts)
