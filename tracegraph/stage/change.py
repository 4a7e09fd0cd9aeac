"""The one type for every alteration of a section.

Faults, differences to a known-good section, bench actions, overlays' ghosts: each
is a tuple of changes and words. `apply` is the plain, exact way; the network layer
has a fast way that a property test holds equal to it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from tracegraph.quantity import Quantity
from tracegraph.stage.part import Part, Pin


@dataclass(frozen=True, slots=True)
class Cut:
    """A leg lifted, a dry joint, an open at the pin."""

    pin: Pin


@dataclass(frozen=True, slots=True)
class Tie:
    """A bridge, short, leak or missed path between two nets; zero ohms is a wire."""

    a: str
    b: str
    ohms: float = 0.0


@dataclass(frozen=True, slots=True)
class Vary:
    """Another value of one parameter: drift, wrong value."""

    part: str
    symbol: str
    quantity: Quantity


@dataclass(frozen=True, slots=True)
class Permute:
    """Pins exchanged: `pins` tells for a pin which pin's net it gets."""

    part: str
    pins: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Become:
    """Another kind on the same pads, pin for pin in the kind's order."""

    part: str
    kind: str
    given: Mapping[str, Quantity] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True, slots=True)
class Remove:
    """The part taken out, or missing."""

    part: str


@dataclass(frozen=True, slots=True)
class Split:
    """A broken track: these pins part from the net and stay joined to each other."""

    net: str
    pins: tuple[Pin, ...]


@dataclass(frozen=True, slots=True)
class Add:
    """A stand-in or extra part."""

    part: Part


Change = Cut | Tie | Vary | Permute | Become | Remove | Split | Add
