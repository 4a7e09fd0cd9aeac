"""The section as understood: parts, nets, and what the file says of them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, NamedTuple, cast

from tracegraph.diagnostics import Problem, Span
from tracegraph.quantity import Quantity
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.reading import LogEntry

if TYPE_CHECKING:
    import networkx as nx

    from tracegraph.notation.source import Source


class Ground(NamedTuple):
    """A reference net; several may exist, isolated from each other."""

    net: str
    span: Span | None = None


class Rail(NamedTuple):
    """A supply net; cold it is a plain net, and what hangs on it is unknown."""

    net: str
    volts: Quantity
    over: str
    span: Span | None = None


class RestForm(StrEnum):
    """What the untraced rest of the board was seen to be, cold."""

    NONE = "none"
    OHMS = "ohms"
    DIODE = "diode"
    CAPACITANCE = "capacitance"


class Rest(NamedTuple):
    """What the meter showed of the untraced rest of the board between two nets.

    Attributes:
        a: First net; red for the first of the two diode readings.
        b: Second net.
        form: What kind of rest it is.
        ohms: Its resistance, for OHMS.
        forward: Diode reading red on `a`, in volts; None is OL.
        backward: Diode reading red on `b`, in volts; None is OL.
        farads: Its capacitance, for CAPACITANCE.
        span: Where it is written.
    """

    a: str
    b: str
    form: RestForm
    ohms: Quantity | None = None
    forward: float | None = None
    backward: float | None = None
    farads: Quantity | None = None
    span: Span | None = None


class Input(NamedTuple):
    """A net that a controller drives when powered; cold it is a plain net.

    Attributes:
        net: The net.
        low: Level of its low state in volts.
        high: Level of its high state in volts.
        via: Output resistance of the driver in ohms.
        hertz: Switching frequency, or None.
        duty: Share of the period at the high level, or None.
        span: Where it is written.
    """

    net: str
    low: Quantity
    high: Quantity
    via: Quantity
    hertz: float | None = None
    duty: float | None = None
    span: Span | None = None


class State(NamedTuple):
    """A named set of inputs, rails, switches and temperatures.

    Attributes:
        name: As written.
        settings: `low`/`high`/`on`/`off`/`open`/`closed`, or a quantity, by net or part.
        span: Where it is written.
    """

    name: str
    settings: Mapping[str, str | Quantity]
    span: Span | None = None


class LinkForm(StrEnum):
    """How two nets are joined outside a part."""

    LINK = "link"  # a wire that belongs there
    BRIDGE = "bridge"  # found joined, should not be


class Link(NamedTuple):
    """Two nets joined; `trusted` is False for a beep that may be no wire."""

    a: str
    b: str
    form: LinkForm = LinkForm.LINK
    ohms: float = 0.0
    trusted: bool = True
    span: Span | None = None


class Break(NamedTuple):
    """A net found parted at a pin."""

    net: str
    pin: Pin
    span: Span | None = None


class Channel(NamedTuple):
    """A sister channel: its own lines, or a copy of another channel's.

    Attributes:
        name: As written.
        like: The channel it copies, or empty.
        parts: Designators, original to copy.
        nets: Nets, original to copy.
        lawful: Designators that differ on purpose.
        span: Where it is written.
    """

    name: str
    like: str = ""
    parts: Mapping[str, str] = MappingProxyType({})
    nets: Mapping[str, str] = MappingProxyType({})
    lawful: tuple[str, ...] = ()
    span: Span | None = None


@dataclass(frozen=True)
class Stage:
    """One traced section.

    Nets are known by the name first written; a net without a name by its first pin
    (`R9.1`). Look-ups by net or designator disregard case.

    Attributes:
        title: As written, or empty.
        parts: In the order written.
        grounds: In the order written.
        rails: In the order written.
        rests: What the untraced rest of the board shows cold.
        inputs: Nets a controller drives.
        states: Named states.
        links: Nets joined outside a part, trusted or not.
        breaks: Nets found parted.
        untraced: Nets on which more may hang (`not traced GATE`).
        unplugged: Nets whose plug is out (`nothing on PWM`).
        channels: Sister channels.
        notes: Remarks that belong to no part.
        log: Blocks of readings, and events between them.
        problems: Errors and doubts found while reading.
        source: The text it was read from, or None.
    """

    title: str = ""
    parts: tuple[Part, ...] = ()
    grounds: tuple[Ground, ...] = ()
    rails: tuple[Rail, ...] = ()
    rests: tuple[Rest, ...] = ()
    inputs: tuple[Input, ...] = ()
    states: tuple[State, ...] = ()
    links: tuple[Link, ...] = ()
    breaks: tuple[Break, ...] = ()
    untraced: tuple[str, ...] = ()
    unplugged: tuple[str, ...] = ()
    channels: tuple[Channel, ...] = ()
    notes: tuple[str, ...] = ()
    log: tuple[LogEntry, ...] = ()
    problems: tuple[Problem, ...] = ()
    source: "Source | None" = None

    painter: ClassVar[Callable[["Stage"], str] | None] = None
    """What shows a section as SVG; set by the package, for a section cannot draw."""

    def _repr_svg_(self) -> str | None:
        """Return the section as its picture, as notebooks ask for it."""
        return Stage.painter(self) if Stage.painter else None

    @cached_property
    def nets(self) -> Mapping[str, tuple[Pin, ...]]:
        """Every net with the pins on it, declared nets first, else as first written."""
        found: dict[str, list[Pin]] = {}
        for net in self._declared():
            found.setdefault(net, [])
        for part in self.parts:
            for name, net in part.pins.items():
                found.setdefault(net, []).append(Pin(part.ref, name))
        return MappingProxyType({net: tuple(pins) for net, pins in found.items()})

    def _declared(self) -> list[str]:
        """Return nets that stand in the file without needing a pin."""
        return [
            *(ground.net for ground in self.grounds),
            *(rail.net for rail in self.rails),
            *(rail.over for rail in self.rails if rail.over),
            *(source.net for source in self.inputs),
            *(net for link in self.links for net in (link.a, link.b)),
            *(net for rest in self.rests for net in (rest.a, rest.b)),
        ]

    @cached_property
    def _parts(self) -> Mapping[str, Part]:
        return {part.ref.lower(): part for part in self.parts}

    @cached_property
    def _nets(self) -> Mapping[str, str]:
        return {net.lower(): net for net in self.nets}

    @property
    def references(self) -> tuple[str, ...]:
        """Grounds, then rails: the nets that others are measured against."""
        rails = (rail.net for rail in self.rails)
        return (*(ground.net for ground in self.grounds), *rails)

    def part(self, ref: str) -> Part | None:
        """Return the part with this designator, or None."""
        return self._parts.get(ref.lower())

    def net(self, name: str) -> str | None:
        """Return the net called `name`, or on which the pin `name` sits, or None."""
        if name.lower() in self._nets:
            return self._nets[name.lower()]
        pin = self.pin(name)
        return self._parts[pin.part.lower()].pins[pin.name] if pin else None

    def pin(self, name: str) -> Pin | None:
        """Return the pin written `name` (`Q11.b`, `q11.base`, `R5.2`), or None."""
        ref, dot, leg = name.rpartition(".")
        part = self.part(ref) if dot else None
        if part is None:
            return None
        own = leg if leg in part.pins else part.leg(leg)
        return Pin(part.ref, own) if own is not None and own in part.pins else None

    @cached_property
    def graph(self) -> "nx.MultiGraph[object]":
        """Bipartite multigraph: part nodes, net nodes, one edge a pin (key: its name).

        Node attribute `part` holds the `Part` at part nodes; nets are plain strings
        and parts are `("part", ref)` pairs.
        """
        import networkx as nx

        graph = cast("nx.MultiGraph[object]", nx.MultiGraph())
        graph.add_nodes_from(self.nets)
        for part in self.parts:
            graph.add_node(("part", part.ref), part=part)
            for name, net in part.pins.items():
                graph.add_edge(("part", part.ref), net, key=name)
        return graph
