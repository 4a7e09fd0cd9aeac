"""A part with nothing known but its kind, as the tests of the registry need it."""

from types import MappingProxyType

from tracegraph.quantity import Quantity
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part

CHIP_PINS = ("gnd", "vcc", "1", "OUT")


def made(
    word: str, *variant: str, pins: tuple[str, ...] = (), **given: Quantity
) -> Part:
    """Return a part of this kind, each pin on a net called by its pin."""
    kind = KINDS[word]
    names = pins or tuple(spec.name for spec in kind.pins) or CHIP_PINS
    nets = MappingProxyType({name: f"net {name}" for name in names})
    return Part("X1", kind, nets, MappingProxyType(given), variant=frozenset(variant))
