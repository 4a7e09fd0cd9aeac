"""What is known of the DC link: frozen results."""

from typing import NamedTuple

from tracegraph.quantity import Quantity

TOUCH = 60.0
"""Volts left at which live parts count as discharged (EN 60204-1, 6.2.4: 60 V or less
within 5 s, else a warning; from memory)."""
METER = 10.0
"""Volts left before ohms, diode test or a soldering iron: common practice, no source."""
PLUG = 34.0
"""Volts left at a plug's pins a second after it is out (IEC 60335-1, 22.5; from
memory)."""
PLUG_SECONDS = 1.0


class Fall(NamedTuple):
    """When what is stored has fallen to some volts.

    Attributes:
        volts: To how much.
        typical: Seconds; None where something on the way is not known.
        longest: Seconds with every part at its limit; None where there is no bound.
    """

    volts: float
    typical: float | None
    longest: float | None


class Bleed(NamedTuple):
    """What leads the charge away once the power is off.

    Attributes:
        parts: Designators, in the order of the file.
        ohms: What they are together, from plus to minus; None where not known.
        rest: Whether the rest of the board, as measured, has a share in it.
        unknown: Parts on the way whose value is not known: not counted on.
        through: Fuses and the like on the way: with one of them open nothing bleeds.
    """

    parts: tuple[str, ...]
    ohms: Quantity | None
    rest: bool = False
    unknown: tuple[str, ...] = ()
    through: tuple[str, ...] = ()


class Tap(NamedTuple):
    """A net within a chain of resistors across the link.

    Attributes:
        net: The net.
        over: The net that it is measured against.
        volts: What stands there.
        shown: What a meter of 10 megohms shows, for it loads the chain.
        sense: Whether something besides resistors listens there.
    """

    net: str
    over: str
    volts: float
    shown: float
    sense: bool = False


class Duty(NamedTuple):
    """What a boost stage has to do in one state.

    Attributes:
        state: The state; empty for the volts as written.
        into: Volts at its input.
        out: Volts at its output.
        duty: Share of the period that the switch conducts; 0 where the input is as
            high as the output and the diode alone carries.
        ripple: Amperes peak to peak in the coil; None where unknown.
        droop: Volts peak to peak on the capacitor for each ampere of load, at the
            switching frequency; None where unknown.
    """

    state: str
    into: float
    out: float
    duty: float
    ripple: float | None = None
    droop: float | None = None


class Boost(NamedTuple):
    """A stage that lifts the link above its input.

    Attributes:
        coil: Its coil.
        switch: The power device.
        diode: The diode into the link.
        source: Net at the coil's input.
        node: Net between coil, switch and diode.
        duties: What it has to do, state by state.
        mains: Whether its input is rectified mains, so that the duty is that of the
            crest and greater everywhere else.
        hertz: Switching frequency, or None.
    """

    coil: str
    switch: str
    diode: str
    source: str
    node: str
    duties: tuple[Duty, ...] = ()
    mains: bool = False
    hertz: float | None = None


class Link(NamedTuple):
    """Two nets between which a dangerous charge is kept.

    Attributes:
        plus: The net above.
        minus: The net that it stands on.
        mains: Whether it is a capacitor across the mains, before the rectifier.
        volts: What stands there when powered; typical None where not written.
        states: Volts of every state that sets them otherwise.
        fed: What feeds it, in words.
        capacitors: What holds the charge; empty where none was traced.
        farads: All of them together; typical None where one is not known.
        energy: Joules stored, over all states; None where unknown.
        bleed: What empties it; None where nothing does.
        falls: How long it takes.
        after: Of a mains capacitor: volts left after a second, at worst.
        follows: The link that it empties into, a diode drop above; or empty.
        leads: Resistors that lead to where something else decides, in words.
        taps: Nets along its chains of resistors.
        boost: The stage that lifts it, or None.
        doubts: What is not known, or can't be as it is written.
    """

    plus: str
    minus: str
    mains: bool
    volts: Quantity
    states: tuple[tuple[str, Quantity], ...] = ()
    fed: tuple[str, ...] = ()
    capacitors: tuple[str, ...] = ()
    farads: Quantity | None = None
    energy: Quantity | None = None
    bleed: Bleed | None = None
    falls: tuple[Fall, ...] = ()
    after: float | None = None
    follows: str = ""
    leads: tuple[str, ...] = ()
    taps: tuple[Tap, ...] = ()
    boost: Boost | None = None
    doubts: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """How it is called: `BUS to HOT`."""
        return f"{self.plus} to {self.minus}" if self.minus else self.plus


class Quiet(NamedTuple):
    """When no gate drive is to be expected: absent pulses are then no fault.

    Attributes:
        when: The condition.
        why: Why the controller, or its driver, keeps still.
        basis: Where that comes from.
    """

    when: str
    why: str
    basis: str


class DcLink(NamedTuple):
    """All links of a section.

    Attributes:
        links: Each with what is known of it.
        quiet: When no gate drive is to be expected.
    """

    links: tuple[Link, ...] = ()
    quiet: tuple[Quiet, ...] = ()
