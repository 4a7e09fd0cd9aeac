"""On which side of a box a pin stands, by what it is."""

from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.stage.kinds.chip import GROUNDS, SUPPLIES
from tracegraph.stage.part import Part


class Sides(NamedTuple):
    """The pins around a box: left and right from the top, top and bottom from the left."""

    left: tuple[str, ...] = ()
    right: tuple[str, ...] = ()
    top: tuple[str, ...] = ()
    bottom: tuple[str, ...] = ()


_ROLES = {"output": "right", "supply": "top", "ground": "bottom"}
_OUTPUTS = """
out vout drv drive gate gd ho lo hs vb vs sw ph phase boot bst q y tx do so
fault flt err vref led dr
"""
_INPUTS = """
in vin hin lin pwm en sd shdn fb vfb cs isense sense comp ref rt ct rc osc clk
rst reset rx di si adc an trip oc ovp ss adj a b d s r
"""
"""Names that makers of chips often give, without digits; common practice, no source."""


def default_sides(part: Part) -> Sides:
    """Return where a part's pins stand: inputs left, outputs right, supplies above.

    Bare numbers go as on a package seen from above: the first half down the left, the
    rest up the right. A name that tells nothing goes where there is more room.
    """
    numbers = sorted((pin for pin in part.pins if pin.isdecimal()), key=_numeral)
    named = [pin for pin in part.pins if not pin.isdecimal()]
    half = (len(numbers) + 1) // 2
    found: dict[str, list[str]] = {
        "left": numbers[:half],
        "right": numbers[half:][::-1],
        "top": [],
        "bottom": [],
    }
    unsure = []
    for pin in _ordered(part, named):
        side = _side(part, pin)
        if side:
            found[side].append(pin)
        else:
            unsure.append(pin)
    for pin in unsure:
        fewer = min(("left", "right"), key=lambda side: len(found[side]))
        found[fewer].append(pin)
    return Sides(**{side: tuple(pins) for side, pins in found.items()})


def _numeral(pin: str) -> tuple[int, str]:
    """Return the order of a bare number; of the same numbers the shorter text first."""
    return int(pin[:9]), pin


def _ordered(part: Part, named: list[str]) -> Iterator[str]:
    """Yield floating pins from the top down as they float: supply, output, return."""
    rank = {"floating supply": 0, "high-side output": 1, "floating return": 2}
    yield from sorted(named, key=lambda pin: rank.get(_role(part, pin), 3))


def _role(part: Part, pin: str) -> str:
    spec = part.kind.pin(pin)
    return spec.role if spec else ""


def _side(part: Part, pin: str) -> str:
    role = _role(part, pin)
    if "floating" in role or role.endswith("output"):
        return "right"
    if role in _ROLES:
        return _ROLES[role]
    if role.endswith("input") or role.startswith("LED"):
        return "left"
    return _by_name(pin.lower())


def _by_name(name: str) -> str:
    """Return the side that a chip maker's name suggests, or nothing."""
    stem = name.strip("+-_#/~").rstrip("0123456789") or name
    if name in GROUNDS or stem in GROUNDS:
        return "bottom"
    if stem in _OUTPUTS.split():
        return "right"
    if stem in _INPUTS.split():
        return "left"
    return "top" if name in SUPPLIES or stem in SUPPLIES else ""
