"""What stands around a part: who else is on its nets, and with which pin."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cached_property
from types import MappingProxyType

from tracegraph.listing import listed
from tracegraph.stage.jobs import GATED, job_of, shunted
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

BIPOLAR = frozenset({"npn", "pnp"})
IN_SERIES = frozenset({"fuse", "thermistor", "coil", "jumper"})
"""What lies in the way of the mains without changing what it is."""
CONTACTS = ("com", "no", "nc")
STOCK = 1e-6  # farads from which a capacitor keeps a supply up
NO_NAMES: Mapping[str, str] = MappingProxyType({})


class Around:
    """A section, asked who is where; what it says carries the names of another one."""

    def __init__(self, stage: Stage, names: Mapping[str, str] = NO_NAMES) -> None:
        """Take a section, and how its parts and nets are to be called."""
        self.stage = stage
        self.names = names

    def called(self, name: str) -> str:
        """Return how a part or net is called."""
        return self.names.get(name, name)

    @cached_property
    def grounds(self) -> frozenset[str]:
        """The grounds."""
        return frozenset(one.net for one in self.stage.grounds)

    @cached_property
    def rails(self) -> frozenset[str]:
        """The rails."""
        return frozenset(one.net for one in self.stage.rails)

    @cached_property
    def returns(self) -> frozenset[str]:
        """What rails stand on: the grounds, and nets that float."""
        return self.grounds | {one.over for one in self.stage.rails}

    @cached_property
    def inputs(self) -> frozenset[str]:
        """Nets that a controller drives."""
        return frozenset(one.net for one in self.stage.inputs)

    @cached_property
    def _shunted(self) -> Mapping[str, str]:
        return shunted(self.stage)

    @cached_property
    def alternating(self) -> frozenset[str]:
        """Nets before a bridge rectifier, back through fuses, chokes and limiters."""
        bridges = [one for one in self.stage.parts if one.kind.word == "bridge"]
        found = {
            one.pins[pin] for one in bridges for pin in ("~1", "~2") if pin in one.pins
        }
        for _ in self.stage.parts:
            beyond = {
                net
                for one in self.stage.parts
                if one.fitted and len(one.pins) == 2 and self.in_the_way(one)
                for net in ends(one)
                if found & set(ends(one))
            }
            if beyond <= found:
                break
            found |= beyond
        return frozenset(found)

    def in_the_way(self, part: Part) -> bool:
        """Return whether a part of the mains' way is no more than that."""
        return (
            job_of(part) in IN_SERIES
            or part.kind.word == "fusible"
            or (job_of(part) == "resistance" and self.contact_across(part) is not None)
        )

    def contact_across(self, part: Part) -> Part | None:
        """Return the relay whose contact bridges a part with two pins."""
        a, b = ends(part)
        for other, pin in self.on(a, part):
            across = any(other.pins.get(one) == b for one in CONTACTS)
            if other.kind.word == "relay" and pin in CONTACTS and across:
                return other
        return None

    def behind(self, net: str) -> str:
        """Return the net that this one is but a shunt away from, or itself."""
        return self._shunted.get(net, net)

    def on(self, net: str, part: Part | None = None) -> Iterator[tuple[Part, str]]:
        """Yield the parts on a net that are fitted but for one, each with its pin."""
        for pin in self.stage.nets.get(net, ()):
            other = self.stage.part(pin.part)
            if other and other.fitted and (part is None or other.ref != part.ref):
                yield other, pin.name

    def at(
        self,
        net: str,
        part: Part | None,
        jobs: Collection[str],
        pins: Collection[str] = (),
    ) -> Part | None:
        """Return another part of these jobs that has one of these pins on a net."""
        for other, pin in self.on(net, part):
            if job_of(other) in jobs and (not pins or pin in pins):
                return other
        return None

    def beside(self, part: Part, jobs: Collection[str]) -> Part | None:
        """Return another part of these jobs on both nets of a part."""
        a, b = ends(part)
        for other, _ in self.on(a, part):
            if job_of(other) in jobs and b in other.pins.values():
                return other
        return None

    def gated(self, net: str, part: Part | None) -> Part | None:
        """Return the power device whose gate is on a net."""
        return self.at(net, part, GATED, ("g",))

    def alone_with(self, net: str, part: Part) -> Part | None:
        """Return the only other part on a net that nothing else is on."""
        if net in self.grounds | self.rails | self.inputs:
            return None
        others = list(self.on(net, part))
        return others[0][0] if len(others) == 1 else None

    def end_of(self, part: Part, net: str) -> str:
        """Return the net at the end of the chain of resistors that leaves at a net."""
        for _ in self.stage.parts:
            other = self.alone_with(net, part)
            if other is None or job_of(other) != "resistance":
                break
            part, net = other, self.far(other, net)
        return net

    def whole(self, part: Part) -> tuple[str, str]:
        """Return the two ends of the chain of resistors that a resistor is in."""
        a, b = ends(part)
        return self.end_of(part, a), self.end_of(part, b)

    def stock(self, net: str, part: Part) -> Part | None:
        """Return the capacitor that keeps a net up against a ground."""
        for other, _ in self.on(net, part):
            if job_of(other) == "capacitance" and self.far(other, net) in self.returns:
                farads = other.quantity("c").typical
                if farads and farads >= STOCK:
                    return other
        return None

    def driven_by(self, part: Part) -> tuple[Part, ...]:
        """Return the power devices whose gates a chip reaches, through a resistor too."""
        found: dict[str, Part] = {}
        for net in part.pins.values():
            if net in self.grounds | self.rails:
                continue
            direct = self.gated(net, part)
            behind = (
                self.gated(self.far(one, net), one)
                for one, _ in self.on(net, part)
                if job_of(one) == "resistance" and len(one.pins) == 2
            )
            for device in (direct, *behind):
                if device:
                    found[device.ref] = device
        return tuple(found.values())

    def named(self, parts: Iterable[Part]) -> str:
        """Return the names of some parts, as in a sentence."""
        return listed(self.called(one.ref) for one in parts)

    def far(self, part: Part, net: str) -> str:
        """Return the other end of a part with two."""
        a, b = ends(part)
        return b if a == net else a


def ends(part: Part) -> tuple[str, str]:
    """Return the nets of a part with two pins."""
    a, b = tuple(part.pins.values())[:2]
    return a, b


def both_ways(part: Part) -> tuple[tuple[str, str], tuple[str, str]]:
    """Return the nets of a part with two pins, either way round."""
    a, b = ends(part)
    return (a, b), (b, a)
