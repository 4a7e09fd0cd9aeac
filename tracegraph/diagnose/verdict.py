"""What readings say of a section: the records that a diagnosis comes to."""

from enum import StrEnum
from typing import NamedTuple

from tracegraph.meter.expect import Probe
from tracegraph.stage.change import Change
from tracegraph.stage.reading import Condition, Reading


class Sort(StrEnum):
    """What kind of thing is to blame."""

    PART = "part"  # a part failed, or is the wrong one, or missing
    BRIDGE = "bridge"  # two nets joined that should not be
    TRACK = "track"  # a broken track or dry joint
    SLIP = "slip"  # the file is wrong, not the board
    SUPPLY = "supply"  # a rail that is not there under power
    SEVERAL = "several"  # several of these at once


class Suspect(NamedTuple):
    """One thing that may be wrong.

    Attributes:
        words: What it is, in the trade's words: `Q23 leaky c-e, about 1.2 k`.
        name: Its kind of fault: `open`, `leaky c-e`, `missed path`...
        sort: What kind of thing is to blame.
        parts: Designators of the parts to blame; none for a bridge or missed path.
        nets: Nets that it touches.
        changes: What it does to the section.
        prior: How likely it was before any reading, 0 to 1.
        chance: How likely it is after the readings, 0 to 1.
        value: What a drifted or leaky part comes to, in SI units, or None.
        low: Least value that the readings allow, 95 %.
        high: Greatest likewise.
        unit: Unit of the value.
    """

    words: str
    name: str
    sort: Sort
    parts: tuple[str, ...]
    nets: tuple[str, ...]
    changes: tuple[Change, ...]
    prior: float
    chance: float
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = ""


class Evidence(NamedTuple):
    """What one reading says of a group of suspects.

    Attributes:
        reading: The reading.
        healthy: What a healthy section shows there: `0.679 V`, `OL`.
        told: What the suspect would show there.
        weight: Natural logarithm of how much likelier the reading is with the suspect
            than on a healthy section; above 0 it speaks for it, below against.
        words: The same in the trade's words.
    """

    reading: Reading
    healthy: str
    told: str
    weight: float
    words: str


class Group(NamedTuple):
    """Suspects that read the same at all points taken so far.

    Attributes:
        suspects: Its members, the likeliest first.
        chance: How likely it is that one of them is it.
        evidence: What every reading says of it, the most telling first.
        check: What confirms or parts it without solder, or empty: `beep N1 to U3.6`.
        lift: What to lift where nothing in place parts its members, or empty.
        slip: Share of the group that is a slip of the tracing, 0 to 1.
    """

    suspects: tuple[Suspect, ...]
    chance: float
    evidence: tuple[Evidence, ...]
    check: str = ""
    lift: str = ""
    slip: float = 0.0


class Doubtful(NamedTuple):
    """A reading that fits nothing, or hardly anything.

    Attributes:
        reading: The reading.
        chance: How likely it is that the probe slipped, 0 to 1.
        healthy: What a healthy section shows there.
        words: What to do: `re-take it: probes swapped? charge left?`
    """

    reading: Reading
    chance: float
    healthy: str
    words: str


class State(StrEnum):
    """How a diagnosis stands."""

    EMPTY = "no readings"
    HEALTHY = "healthy"
    FOUND = "found"  # one group carries the blame
    TRACING = "tracing"  # the file is probably wrong: check it before any part
    OPEN = "open"  # not decided yet
    UNEXPLAINED = "unexplained"  # nothing that is known fits


class Left(NamedTuple):
    """A reading that counted for nothing, and why."""

    reading: Reading
    why: str


class Verdict(NamedTuple):
    """The diagnosis of a section.

    Attributes:
        state: How it stands.
        words: The same as a sentence.
        groups: Groups of suspects, the likeliest first; without the healthy section.
        healthy: How likely it is that nothing is wrong that these readings can show.
        readings: The readings that counted, in order.
        odd: Those of them that a healthy section would not show.
        doubtful: Readings that fit nothing: to be taken again.
        lawful: What would look odd but is as it should be, in words: `GATE to COM
            reads 22 R both ways: the loop R26, T1; D21 cannot show its drop there`.
        conflicts: Sets of parts of which not all can be healthy, smallest first.
        untested: Parts of which these readings show no fault, were there one.
        unseen: Faults that no reading of this section in place can show, in words.
        left: Readings that counted for nothing.
        condition: How the bench stands now: what `next` asks for.
        meter: Name of the meter's profile.
        supply: Rails that were read far from what the file says, in words.
    """

    state: State
    words: str
    groups: tuple[Group, ...]
    healthy: float
    readings: tuple[Reading, ...]
    odd: tuple[Evidence, ...] = ()
    doubtful: tuple[Doubtful, ...] = ()
    lawful: tuple[str, ...] = ()
    conflicts: tuple[frozenset[str], ...] = ()
    untested: tuple[str, ...] = ()
    unseen: tuple[str, ...] = ()
    left: tuple[Left, ...] = ()
    condition: Condition = Condition()
    meter: str = ""
    supply: tuple[str, ...] = ()


class Outcome(NamedTuple):
    """What a reading may show, and what it would mean.

    Attributes:
        display: What the display would show: `0.58 to 0.70 V`, `OL`, `beep`.
        chance: How likely it is.
        means: What it would point to, in the trade's words.
        healthy: Whether a healthy section shows this.
    """

    display: str
    chance: float
    means: str
    healthy: bool


class Proposal(NamedTuple):
    """The reading to take next.

    Attributes:
        probe: Red, black and mode, by the names a technician can find.
        condition: How the bench must stand for it.
        bits: Information that it is expected to give.
        cost: What it costs, in probes (1 is a plain reading).
        outcomes: What it may show, the likeliest first.
        words: Why this one, in a sentence.
    """

    probe: Probe
    condition: Condition
    bits: float
    cost: float
    outcomes: tuple[Outcome, ...]
    words: str


class Advice(NamedTuple):
    """Where to probe next.

    Attributes:
        proposals: The best readings, best first; empty where none is worth it.
        words: What to do where nothing in place tells more: what to lift, or that all
            is said.
        done: Whether no reading in place would tell more.
    """

    proposals: tuple[Proposal, ...]
    words: str
    done: bool
