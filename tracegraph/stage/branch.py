"""The closed set of branches that part kinds are made of and the network solves.

A branch names *pins of its part* (or a node inside the part, written `*x`); which
net a pin sits on is the stage's business. Every number is a `Quantity`, so that
tolerance and device spread travel with the branch. Passive sign convention:
current flows from the first terminal through the branch to the second.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.quantity import Quantity


class Conductor(NamedTuple):
    """A resistance between two terminals, in ohms; zero ohms is a wire."""

    a: str
    b: str
    ohms: Quantity


class Junction(NamedTuple):
    """A p-n or metal junction: exponential forwards, leaky backwards, may break down.

    Attributes:
        anode: Terminal that the forward current enters.
        cathode: Terminal that it leaves.
        drop: Forward drop in volts; its `at` is the test current in amperes.
        slope: Volts a decade of current (0.060 is an ideal junction at 300 K).
        leak: Reverse current in amperes, reached within a few tenths of a volt.
        breakdown: Reverse breakdown in volts with its test current, or None.
        breakdown_slope: Volts a decade of current in breakdown.
        family: Parts that share most of their spread share this word.
    """

    anode: str
    cathode: str
    drop: Quantity
    slope: Quantity
    leak: Quantity
    breakdown: Quantity | None = None
    breakdown_slope: float = 0.05
    family: str = "silicon"


class Transistor(NamedTuple):
    """A bipolar transistor in transport form (Ebers & Moll, 1954).

    Attributes:
        base: Base terminal.
        collector: Collector terminal.
        emitter: Emitter terminal.
        polarity: +1 for NPN, -1 for PNP.
        drop: Base-emitter volts in forward active operation; `at` amperes.
        slope: Volts a decade of current, of both junctions.
        gain: Forward current gain.
        reverse_gain: Current gain with collector and emitter exchanged.
        leak: Leakage of each junction in amperes.
        breakdown: Emitter-base breakdown in volts with its test current.
        family: Parts that share most of their spread share this word.
    """

    base: str
    collector: str
    emitter: str
    polarity: int
    drop: Quantity
    slope: Quantity
    gain: Quantity
    reverse_gain: Quantity
    leak: Quantity
    breakdown: Quantity
    family: str = "transistor"


class Channel(NamedTuple):
    """The channel of a FET or of an IGBT's gate: square law, no gate current.

    Attributes:
        gate: Gate terminal.
        drain: Drain terminal.
        source: Source terminal.
        polarity: +1 for N type, -1 for P type.
        threshold: Gate-source threshold, a magnitude in volts.
        on_ohms: On-resistance in ohms; its `at` is the gate drive in volts.
    """

    gate: str
    drain: str
    source: str
    polarity: int
    threshold: Quantity
    on_ohms: Quantity


class Source(NamedTuple):
    """A voltage behind a resistance: in powered answers only."""

    plus: str
    minus: str
    volts: Quantity
    ohms: Quantity


class Follower(NamedTuple):
    """An output that follows its control pins: in powered answers only.

    The output is pulled towards `high` or `low` through `ohms`, as far as the
    control voltage (`plus` over `minus`) stands over or under `threshold`:
    share = logistic(gain * (control - threshold)). With a `transfer` the pull is
    limited to that multiple of the current that flows in the control junction.

    Attributes:
        out: Output terminal.
        low: Terminal that the output is pulled down to.
        high: Terminal that it is pulled up to; the same as `out` where it has none.
        plus: Control terminal; a higher voltage lifts the output.
        minus: The other control terminal.
        threshold: Control volts at half share.
        gain: Steepness, per volt of control.
        ohms: Output resistance.
        pulls: `both`, `down` (open collector) or `up`.
        dropout: Volts that stay between output and the rail it is pulled to.
        transfer: Current-transfer ratio of an optocoupler, or None.
        control: Forward drop of the control junction with its test current.
        lockout: Supply, `high` over `low`, under which the output is held low, or None.
    """

    out: str
    low: str
    high: str
    plus: str
    minus: str
    threshold: Quantity
    gain: float
    ohms: Quantity
    pulls: str = "both"
    dropout: float = 0.0
    transfer: Quantity | None = None
    control: Quantity | None = None
    lockout: Quantity | None = None


class Store(NamedTuple):
    """A capacitance in farads with its series resistance in ohms.

    Attributes:
        a: First terminal.
        b: Second terminal.
        farads: Capacitance; of one that varies, that at `at_volts`, as cold readings
            take it.
        series_ohms: Series resistance.
        full_farads: Of a gate-drain capacitance what it grows to as the drain comes
            down to the gate; 0 for one that does not vary.
        at_volts: Volts of `a` over `b` at which a varying one has its `farads`.
    """

    a: str
    b: str
    farads: Quantity
    series_ohms: float = 0.0
    full_farads: float = 0.0
    at_volts: float = 0.0


class Coil(NamedTuple):
    """An inductance in henries; its winding resistance is a conductor beside it."""

    a: str
    b: str
    henries: Quantity


class Bypass(NamedTuple):
    """A conductance that may be nothing: a bridge, leak or missed path to be tried.

    No part has one. It stands beside a section so that one structure serves many
    alterations, each with its own conductance.
    """

    a: str
    b: str
    siemens: Quantity


Branch = (
    Conductor
    | Junction
    | Transistor
    | Channel
    | Source
    | Follower
    | Store
    | Coil
    | Bypass
)

TERMINALS: Mapping[type, int] = MappingProxyType(
    {
        Conductor: 2,
        Junction: 2,
        Transistor: 3,
        Channel: 3,
        Follower: 5,
        Source: 2,
        Store: 2,
        Coil: 2,
        Bypass: 2,
    }
)


def terminals(branch: Branch) -> tuple[str, ...]:
    """Return the names of a branch's terminals, in its own order."""
    return tuple(str(name) for name in branch[: TERMINALS[type(branch)]])
