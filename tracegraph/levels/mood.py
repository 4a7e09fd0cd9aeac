"""How a device stands: plain records, and the figures that tell one way from another."""

from enum import StrEnum
from typing import NamedTuple

from tracegraph.network.circuit import Floats
from tracegraph.stage.branch import Branch
from tracegraph.stage.part import Part

FLOWS = 2e-6  # amperes from which a device is said to conduct; common practice
SATURATED = 0.35  # volts from collector to emitter; common practice, no source
LEAST_VOLTS = 0.05  # across a junction or an output, that are worth telling


class Mood(StrEnum):
    """How a device stands."""

    OFF = "off"
    ON = "on"
    SATURATED = "saturated"
    ACTIVE = "active"
    HALF = "half on"
    CONDUCTS = "conducts"
    BLOCKS = "blocks"
    CLAMPS = "clamps"
    HIGH = "high"
    LOW = "low"
    BETWEEN = "between"
    LOCKED = "locked out"
    REVERSED = "reversed"
    FIRES = "fires"


class Device(NamedTuple):
    """A device in a state.

    Attributes:
        ref: Its designator.
        mood: How it stands.
        words: What shows it, with figures, for a sentence after its name.
        amps: What it carries: collector, drain, diode or output current, a magnitude.
        drive: How far it is driven: overdrive of a saturated transistor (base current
            times gain over collector current), gate volts over threshold; 0 if neither.
        controls: Nets of its controlling terminals.
        carries: Nets of the terminals that it carries its current between.
    """

    ref: str
    mood: Mood
    words: str
    amps: float
    drive: float
    controls: tuple[str, ...]
    carries: tuple[str, ...]


class Stood(NamedTuple):
    """A branch with its levels and currents.

    Attributes:
        part: Its part.
        branch: The branch.
        nets: Net of every terminal.
        volts: Level of every terminal.
        amps: Current into every terminal.
    """

    part: Part
    branch: Branch
    nets: tuple[str, ...]
    volts: list[float]
    amps: Floats

    def over(self, first: int, second: int) -> float:
        """Return the volts of one terminal over another."""
        return self.volts[first] - self.volts[second]
