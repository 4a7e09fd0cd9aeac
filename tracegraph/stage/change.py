"""The one type for every alteration of a section.

Faults, differences to a known-good section, bench actions, overlays' ghosts: each
is a tuple of changes and words. `apply` is the plain, exact way; the network layer
has a fast way that a property test holds equal to it.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.quantity import Quantity
from tracegraph.stage.part import Part, Pin


class Cut(NamedTuple):
    """A leg lifted, a dry joint, an open at the pin."""

    pin: Pin


class Tie(NamedTuple):
    """A bridge, short, leak or missed path between two nets; zero ohms is a wire."""

    a: str
    b: str
    ohms: float = 0.0


class Vary(NamedTuple):
    """Another value of one parameter: drift, wrong value."""

    part: str
    symbol: str
    quantity: Quantity


class Permute(NamedTuple):
    """Pins exchanged: `pins` tells for a pin which pin's net it gets."""

    part: str
    pins: Mapping[str, str]


class Become(NamedTuple):
    """Another kind on the same pads, pin for pin in the kind's order."""

    part: str
    kind: str
    given: Mapping[str, Quantity] = MappingProxyType({})


class Remove(NamedTuple):
    """The part taken out, or missing."""

    part: str


class Split(NamedTuple):
    """A broken track: these pins part from the net and stay joined to each other."""

    net: str
    pins: tuple[Pin, ...]


class Add(NamedTuple):
    """A stand-in or extra part."""

    part: Part


Change = Cut | Tie | Vary | Permute | Become | Remove | Split | Add
