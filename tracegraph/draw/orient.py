"""How every item stands: upright in a stack, along a row, or as a box of its own."""

from collections.abc import Iterator, Mapping, Sequence
from enum import Enum
from typing import NamedTuple

from tracegraph.draw.chains import chains
from tracegraph.draw.electric import CONTROLS, role_of
from tracegraph.draw.items import Item, Section
from tracegraph.draw.shapes import Pose, Side
from tracegraph.draw.symbol import Leg, Symbol, stand
from tracegraph.draw.symbols import symbol_of
from tracegraph.draw.symbols.boxes import box
from tracegraph.draw.symbols.sides import Sides

MAINS = {"collector", "emitter", "drain", "source", "anode", "cathode"} | {
    "main terminal 1",
    "main terminal 2",
}
TOPS = {"collector", "drain", "anode", "main terminal 2"}
"""The main pin that is drawn up; in P types and where volts say so, the other."""

REFERRED = (
    ("gate", "source"),
    ("gate", "emitter"),
    ("gate", "cathode"),
    ("collector", "emitter"),
    ("drain", "source"),
    ("anode", "cathode"),
    ("floating supply", "floating return"),
)
"""Pins between which a part is drawn upright: it belongs to the device, not the path.

The first is up, but for a P type.
"""

P_TYPES = {"pnp", "pnp-digital", "pfet", "shuntreg"}

TURNING = {"optocoupler", "optodriver", "relay"}
"""Symbols that carry a signal back as often as forth."""


class Stance(Enum):
    """How an item stands."""

    UPRIGHT = "upright"  # in a stack, one pin up and one down
    ACROSS = "across"  # upright, but between two wires: never stacked
    ALONG = "along"  # in a row, left to right
    BOX = "box"  # by itself


class Standing(NamedTuple):
    """An item with the way it stands.

    Attributes:
        item: The item.
        stance: How it stands.
        symbol: Its symbol in that pose; the upper or left pin at (0, 0).
        first: The pin that is up or left; empty for a box.
        last: The pin that is down or right; empty for a box.
        rank: How far along the signal it belongs.
    """

    item: Item
    stance: Stance
    symbol: Symbol
    first: str = ""
    last: str = ""
    rank: float = 0.0

    @property
    def top(self) -> str:
        """The net above, or on the left."""
        return self.item.nets[self.first]

    @property
    def foot(self) -> str:
        """The net below, or on the right."""
        return self.item.nets[self.last]

    @property
    def reach(self) -> int:
        """How far the last pin is from the first."""
        leg = next(leg for leg in self.symbol.legs if leg.pin == self.last)
        return leg.at[0] + leg.at[1]


def standings(
    section: Section,
    ups: Mapping[str, float],
    levels: Mapping[str, float],
    sides: Mapping[str, Sides],
) -> tuple[Standing, ...]:
    """Return how every item stands.

    Args:
        section: What is to be drawn.
        ups: How far up each net is.
        levels: How far along the signal each net is.
        sides: The order of pins for boxes that want another than the usual.
    """
    across = _reference_pairs(section)
    symbols = {
        item.ref: box(item.part, sides[item.ref])
        if item.ref in sides
        else symbol_of(item.part)
        for item in section.items
    }
    lying = [item for item in section.items if _lies(item, symbols[item.ref])]
    found = {
        one.item.ref: one
        for chain in chains(section, lying)
        for one in _chain(section, chain, symbols, Electric(ups, levels, across))
    }
    for item in section.items:
        if item.ref not in found:
            symbol = symbols[item.ref]
            upright = _upright_switch(item, symbol)
            found[item.ref] = (
                _switch(item, symbol, ups, levels)
                if upright
                else _box(item, symbol, levels)
            )
    return tuple(found[item.ref] for item in section.items)


class Electric(NamedTuple):
    """What the electricity says of nets.

    Attributes:
        ups: How far up each is.
        levels: How far along the signal.
        across: Pairs between which parts stand upright, and which of them is up.
    """

    ups: Mapping[str, float]
    levels: Mapping[str, float]
    across: Mapping[frozenset[str], str]


def _reference_pairs(section: Section) -> Mapping[frozenset[str], str]:
    """Return pairs of nets between which a part stands upright, and which is up."""
    pairs: dict[frozenset[str], str] = {}
    for item in section.items:
        roles = {role_of(item, pin): net for pin, net in item.nets.items()}
        for one, other in REFERRED if len(roles) > 2 else ():
            if one in roles and other in roles:
                up = other if item.part.kind.word in P_TYPES else one
                pairs.setdefault(frozenset((roles[one], roles[other])), roles[up])
    return pairs


def _lies(item: Item, symbol: Symbol) -> bool:
    """Return whether an item has two ends, one left and one right."""
    sides = {leg.side for leg in symbol.legs}
    level = len({leg.at[1] for leg in symbol.legs}) == 1
    return len(item.nets) == 2 and sides == {Side.LEFT, Side.RIGHT} and level


def _chain(
    section: Section,
    chain: Sequence[tuple[Item, str, str]],
    symbols: Mapping[str, Symbol],
    electric: Electric,
) -> Iterator[Standing]:
    """Yield the items of a chain, all standing the same way."""
    first, last = chain[0][0].nets[chain[0][1]], chain[-1][0].nets[chain[-1][2]]
    hubs = {first, last} & section.hubs
    upright = bool(hubs) or frozenset((first, last)) in electric.across
    if _turned(upright, first, last, electric):
        chain = [(item, two, one) for item, one, two in reversed(chain)]
    known = [electric.levels[net] for net in (first, last) if net in electric.levels]
    stance = Stance.ALONG
    rank = _mean(known)
    if upright:
        stance = Stance.UPRIGHT if hubs else Stance.ACROSS
        rank = min(known, default=0.0) + 0.25
    for item, one, two in chain:
        symbol = symbols[item.ref]
        left = next(leg.pin for leg in symbol.legs if leg.side is Side.LEFT)
        pose = Pose((1 if upright else 0) + (0 if one == left else 2))
        posed = origin(symbol, pose, one)
        yield Standing(item, stance, posed, one, two, rank)


def _turned(upright: bool, first: str, last: str, electric: Electric) -> bool:  # noqa: FBT001
    """Return whether a chain is to be drawn from its last net to its first."""
    up = electric.across.get(frozenset((first, last)))
    if upright and up is not None:
        return up == last
    if upright:
        return electric.ups[first] < electric.ups[last]
    return electric.levels[first] > electric.levels[last]


def _upright_switch(item: Item, symbol: Symbol) -> bool:
    ups = [leg for leg in symbol.legs if leg.side is Side.UP]
    downs = [leg for leg in symbol.legs if leg.side is Side.DOWN]
    if len(ups) != 1 or len(downs) != 1 or ups[0].at[0] != downs[0].at[0]:
        return False
    return {role_of(item, leg.pin) for leg in (ups[0], downs[0])} <= MAINS


def _switch(
    item: Item, symbol: Symbol, ups: Mapping[str, float], levels: Mapping[str, float]
) -> Standing:
    upper, lower = _main_legs(symbol)
    top = _top_pin(item, upper, lower, ups)
    controls = [pin for pin in item.nets if role_of(item, pin) in CONTROLS]
    own = _mean([levels[item.nets[p]] for p in controls if item.nets[p] in levels])
    mains = [item.nets[leg.pin] for leg in (upper, lower)]
    driven = [levels[net] for net in mains if net in levels]
    mirrored = bool(driven) and bool(controls) and own > max(driven)
    flipped = top != upper.pin
    pose = Pose(2 if flipped else 0, mirrored is not flipped)
    posed = origin(symbol, pose, top)
    last = lower.pin if top == upper.pin else upper.pin
    return Standing(item, Stance.UPRIGHT, posed, top, last, own + 0.5)


def _main_legs(symbol: Symbol) -> tuple[Leg, Leg]:
    upper = next(leg for leg in symbol.legs if leg.side is Side.UP)
    return upper, next(leg for leg in symbol.legs if leg.side is Side.DOWN)


def _top_pin(item: Item, upper: Leg, lower: Leg, ups: Mapping[str, float]) -> str:
    """Return the main pin to draw up: by its type, unless the volts are plain."""
    high, low = ups[item.nets[upper.pin]], ups[item.nets[lower.pin]]
    if abs(high - low) > 0.6:
        return upper.pin if high > low else lower.pin
    usual = role_of(item, upper.pin) in TOPS
    wanted = usual is not (item.part.kind.word in P_TYPES)
    return upper.pin if wanted else lower.pin


def _box(item: Item, symbol: Symbol, levels: Mapping[str, float]) -> Standing:
    sides: dict[Side, list[float]] = {Side.LEFT: [], Side.RIGHT: []}
    for leg in symbol.legs:
        if leg.side in sides and item.nets[leg.pin] in levels:
            sides[leg.side].append(levels[item.nets[leg.pin]])
    left, right = sides[Side.LEFT], sides[Side.RIGHT]
    if left and right:
        loose = 0.5 if item.part.kind.symbol in TURNING else 2.0
        mirrored = _mean(left) > _mean(right) + loose
        rank = min(_mean(left), _mean(right)) + 0.5
    else:
        known = left or right or [0.0]
        first = _mean(known) < 0.5
        faces = Side.RIGHT if first else Side.LEFT
        mirrored = not sides[faces] and bool(sides[faces.opposite])
        rank = _mean(known) + (-0.6 if first else 0.6)
    pose = Pose(0, mirrored)
    return Standing(item, Stance.BOX, stand(symbol, pose), rank=rank)


def origin(symbol: Symbol, pose: Pose, pin: str) -> Symbol:
    """Return a symbol in a pose, moved so that one pin comes to lie at (0, 0)."""
    posed = stand(symbol, pose)
    x, y = next(leg.at for leg in posed.legs if leg.pin == pin)
    return stand(posed, Pose(), (-x, -y))


def _mean(values: list[float]) -> float:
    return sum(values) / len(values) if values else 0.0
