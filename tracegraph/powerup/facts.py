"""What a plan goes by: what feeds a section, what is dangerous in it, what drives."""

from collections.abc import Iterator
from functools import cached_property
from math import sqrt

from tracegraph.meter.profile import Profile
from tracegraph.powerup.driving import DRIVERS, Driving, devices, driving, supply_net
from tracegraph.powerup.link.find import dc_link
from tracegraph.powerup.link.record import DcLink, Link
from tracegraph.powerup.solved import Solved, alone, solved
from tracegraph.stage.caution import HARMFUL_VOLTS, cautions
from tracegraph.stage.jobs import job_of, source_of
from tracegraph.stage.part import Part
from tracegraph.stage.reference import reference_of
from tracegraph.stage.stage import Rail, Stage

MAINS_CREST = 120.0
"""Volts from which a rail may well be rectified mains: common practice, no source."""
MAINS = ((90.0, 140.0), (180.0, 264.0))
"""Volts of one phase, 100 to 127 V and 200 to 240 V with a tenth to spare (IEC 60038;
from memory). Another crest is that of three phases, or lifted by a boost stage."""
HIGH_RATING = 200.0
_CONTACTS = frozenset({"relay", "triac"})


class Facts:
    """A section, asked what a plan must know."""

    def __init__(self, stage: Stage, profile: Profile) -> None:
        """Take a section, and the meter that it is read with."""
        self.stage = stage
        self.profile = profile

    @cached_property
    def link(self) -> DcLink:
        """What stays charged."""
        return dc_link(self.stage)

    @cached_property
    def stores(self) -> tuple[Link, ...]:
        """Links behind the rectifier."""
        return tuple(one for one in self.link.links if not one.mains)

    @cached_property
    def drives(self) -> tuple[Driving, ...]:
        """Every power device with what drives it."""
        return tuple(driving(self.stage, one) for one in devices(self.stage))

    @cached_property
    def high(self) -> tuple[Rail, ...]:
        """Rails over 60 V: they stay dead until the last steps."""
        nets = {net for one in self.stores for net in (one.plus, one.minus)}
        return tuple(
            one
            for one in self.stage.rails
            if (one.net in nets and one.net not in self.grounds)
            or (one.volts.known and abs(one.volts.high) > HARMFUL_VOLTS)
        )

    @cached_property
    def grounds(self) -> frozenset[str]:
        """The grounds."""
        return frozenset(one.net for one in self.stage.grounds)

    @cached_property
    def control(self) -> tuple[Rail, ...]:
        """Rails that feed the control circuits."""
        return tuple(one for one in self.stage.rails if one not in self.high)

    @cached_property
    def dangerous(self) -> bool:
        """Whether anything in the section may hurt."""
        return bool(self.stores or self.link.links or cautions(self.stage))

    @cached_property
    def bridge(self) -> Part | None:
        """The rectifier bridge at the mains, or None."""
        return next(
            (
                one
                for one in self.stage.parts
                if one.fitted and one.kind.word == "bridge" and self.stores
            ),
            None,
        )

    @cached_property
    def mains(self) -> bool:
        """Whether the section hangs on the mains, or may for all that is known."""
        crest = any(
            one.volts.typical is None or one.volts.typical >= MAINS_CREST
            for one in self.stores
        )
        rated = [d.device.rated("V") for d in self.drives]
        high = any(one and one.high >= HIGH_RATING for one in rated)
        return bool(self.bridge or crest or high)

    @cached_property
    def contacts(self) -> tuple[Part, ...]:
        """Relays and triacs whose contacts lead somewhere."""
        return tuple(
            one
            for one in self.stage.parts
            if one.fitted
            and one.kind.word in _CONTACTS
            and not {"com", "mt1"}.isdisjoint(one.pins)
        )

    @cached_property
    def crest(self) -> float | None:
        """The crest of the rectified mains, where it is known to be one phase."""
        if self.bridge:
            first = [
                one for one in self.stores if one.plus == self.bridge.pins.get("+")
            ]
        else:
            first = [one for one in self.stores if one.boost is None]
        for one in first:
            volts = one.volts.typical
            if volts is not None and any(a <= volts / sqrt(2) <= b for a, b in MAINS):
                return volts
        return None

    @property
    def rms(self) -> float | None:
        """The mains volts that make this crest: V / sqrt(2)."""
        return self.crest / sqrt(2) if self.crest else None

    @cached_property
    def hot(self) -> tuple[str, ...]:
        """Grounds that may be on the mains."""
        if not self.mains:
            return ()
        feet = {one.minus for one in self.stores}
        for drive in self.drives:
            feet |= {one for one in drive.device.pins.values() if one in self.grounds}
        found = tuple(one.net for one in self.stage.grounds if one.net in feet)
        return found or tuple(
            dict.fromkeys(
                (*(source_of(one.device) for one in self.drives), *sorted(self.grounds))
            )
        )

    @cached_property
    def unknown_chips(self) -> tuple[Part, ...]:
        """Chips that nobody knows the inside of."""
        return tuple(
            one for one in self.stage.parts if one.fitted and one.kind.word == "ic"
        )

    @cached_property
    def chips(self) -> int:
        """How many packages take a current of their own."""
        packages = {
            one.package
            for one in self.stage.parts
            if one.fitted and (job_of(one) in DRIVERS or supply_net(one))
        }
        return len(packages)

    @cached_property
    def fed_inside(self) -> tuple[tuple[Part, str], ...]:
        """Chips whose supply is no rail of the file, each with that net."""
        rails = {one.net for one in self.stage.rails}
        found: dict[str, tuple[Part, str]] = {}
        for chip in (*self.unknown_chips, *(d.chip for d in self.drives if d.chip)):
            net = next((d.supply for d in self.drives if d.chip is chip), "")
            net = net or supply_net(chip)
            if net not in rails:
                found.setdefault(chip.package, (chip, net))
        return tuple(found.values())

    @cached_property
    def control_stage(self) -> Stage:
        """The section with its control rails only, power devices out."""
        return alone(self.stage, self.control, [one.device for one in self.drives])

    @cached_property
    def _solved(self) -> tuple[tuple[Solved, ...], tuple[str, ...]]:
        return solved(self.control_stage, self.profile) if self.control else ((), ())

    @property
    def states(self) -> tuple[Solved, ...]:
        """The states, solved with the control rails alone and the devices out."""
        return self._solved[0]

    @property
    def unsolved(self) -> tuple[str, ...]:
        """States without a solution."""
        return self._solved[1]

    def over(self, net: str) -> str:
        """Return the net that a level is measured against.

        A rail's own return, a floating gate's own source, else the ground.
        """
        for rail in self.stage.rails:
            if rail.net == net:
                return rail.over
        return reference_of(self.stage, net) if self.stage.grounds else ""

    def named(self) -> Iterator[Part]:
        """Yield parts that the file calls burnt, resoldered or of unknown value."""
        for part in self.stage.parts:
            value = part.kind.value
            unknown = value and part.has(value) and not part.quantity(value).known
            if part.fitted and (part.burnt or part.touched or unknown):
                yield part
