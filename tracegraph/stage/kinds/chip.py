"""The usual cold pins of a chip, and `ic`: a chip of which nothing else is known."""

from tracegraph.quantity import usual
from tracegraph.stage.branch import Branch, Follower, Junction
from tracegraph.stage.change import Cut, Tie
from tracegraph.stage.kind import Fault, Form, Kind
from tracegraph.stage.kinds.failures import LEAK, Way, net_of
from tracegraph.stage.kinds.junctions import TEST_CURRENT
from tracegraph.stage.kinds.table import PRACTICE, RAISED
from tracegraph.stage.part import Part, Pin

PIN_FAMILY = "pin"
"""Family of every junction that is `usual, not known`: a guess at a chip's inside."""

GROUNDS = ("gnd", "vss", "com", "agnd", "dgnd", "pgnd", "sgnd", "0v", "vee", "v-")
SUPPLIES = ("vcc", "vdd", "v+", "vcc1", "vcc2", "vddio", "avdd", "dvdd", "vin", "vb")

_DROP = usual(0.60, 0.45, 0.75, "V", at=TEST_CURRENT)
_SLOPE = usual(0.08, 0.058, 0.12, "V/dec")
_LEAK = usual(1e-9, 1e-12, 1e-7, "A")
_SUPPLY_DROP = usual(0.55, 0.40, 0.75, "V", at=TEST_CURRENT)


def guess(anode: str, cathode: str, *, supply: bool = False) -> Junction:
    """Return a junction as most chips have it; its drop is usual, not known."""
    drop = _SUPPLY_DROP if supply else _DROP
    return Junction(anode, cathode, drop, _SLOPE, _LEAK, family=PIN_FAMILY)


def pin_junctions(
    part: Part,
    ground: str,
    supply: str,
    pins: tuple[str, ...],
    drains: tuple[str, ...] = (),
) -> tuple[Junction, ...]:
    """Return what a chip's pins usually show cold; only wired pins have any.

    Args:
        part: The chip.
        ground: Its ground pin.
        supply: Its supply pin.
        pins: Pins with a junction from ground and one to the supply.
        drains: Open-collector pins: a junction from ground only.
    """
    wanted = [
        *((ground, pin) for pin in (*pins, *drains)),
        *((pin, supply) for pin in pins),
    ]
    feeds = [(ground, supply)]
    return (
        *(guess(a, k) for a, k in wanted if a in part.pins and k in part.pins),
        *(guess(a, k, supply=True) for a, k in feeds if {a, k} <= part.pins.keys()),
    )


def wired(part: Part, *outputs: Follower) -> tuple[Follower, ...]:
    """Return the outputs whose every terminal is traced: half a chip drives nothing."""

    def ends(one: Follower) -> set[str]:
        return {one.out, one.low, one.high, one.plus, one.minus}

    return tuple(one for one in outputs if ends(one) <= part.pins.keys())


def ground_of(part: Part) -> str:
    """Return the pin of an unknown chip that is its ground by its name, or empty."""
    return _first(part, GROUNDS)


def supply_of(part: Part) -> str:
    """Return the pin of an unknown chip that is its supply by its name, or empty."""
    return _first(part, SUPPLIES)


def _first(part: Part, names: tuple[str, ...]) -> str:
    own = {pin.lower(): pin for pin in part.pins}
    return next((own[name] for name in names if name in own), "")


def _unknown_inside(part: Part) -> tuple[Branch, ...]:
    ground, supply = ground_of(part), supply_of(part)
    others = tuple(pin for pin in part.pins if pin not in {ground, supply})
    return pin_junctions(part, ground, supply, others)


def dead(ground: str, pin: str, share: float) -> Way:
    """Return a pin blown to ground: what a chip's failure usually looks like."""

    def way(part: Part, source: str) -> Fault:
        change = Tie(net_of(part, ground), net_of(part, pin), 10.0)
        name = f"{pin} blown"
        return Fault(name, (change,), share, source, f"{part.ref} {pin} low to ground")

    return way


def _faults(part: Part) -> tuple[Fault, ...]:
    """Return, for every pin, a short to ground, a leak to ground and an open."""
    ground = ground_of(part)
    source = f"integrated circuit: {PRACTICE}"
    pins = [pin for pin in part.pins if pin != ground]
    found = [fault for pin in pins for fault in _pin_faults(part, ground, pin, source)]
    total = sum(fault.share for fault in found)
    return tuple(fault._replace(share=fault.share / total) for fault in found)


def _pin_faults(part: Part, ground: str, pin: str, source: str) -> list[Fault]:
    cut = Fault(
        f"open at {pin}",
        (Cut(Pin(part.ref, pin)),),
        0.3,
        source,
        f"{part.ref} open at {pin}",
    )
    if not ground:
        return [cut]
    nets = net_of(part, ground), net_of(part, pin)
    leak = (Tie(*nets, LEAK),)
    words = f"{part.ref} {pin} leaky to ground"
    return [
        cut,
        dead(ground, pin, 0.4)(part, source),
        Fault(f"{pin} leaky", leak, 0.3, source, words),
    ]


IC = Kind(
    "ic",
    "integrated circuit, inside unknown",
    ("U", "IC", "N", "A", "D", "DA", "DD"),
    (),
    Form.PINS,
    symbol="box",
    cold=_unknown_inside,
    faults=_faults,
    aliases=("chip", "module", "controller"),
    rate=4.0,
    rate_source=f"as a driver IC: {PRACTICE}",
    raised=RAISED,
    roles=("controller", "driver", "supervisor", "logic"),
    open_pins=True,
)

CHIPS = (IC,)
