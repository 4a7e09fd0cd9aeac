"""What joins: connector, test point, link, fuse."""

from itertools import pairwise

from tracegraph.quantity import unknown, usual
from tracegraph.stage.branch import Branch, Conductor
from tracegraph.stage.change import Cut, Tie
from tracegraph.stage.kind import Fault, Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import (
    HANDBOOK,
    drifted,
    failing,
    net_of,
    opened,
    stuck,
)
from tracegraph.stage.kinds.table import PRACTICE, RAISED, TWO_PINS, parameters
from tracegraph.stage.part import Part, Pin


def _wire(part: Part) -> tuple[Branch, ...]:
    return (Conductor("1", "2", part.quantity("r")),)


def _connector_faults(part: Part) -> tuple[Fault, ...]:
    """Return opens and poor contacts at every pin, and shorts between neighbours."""
    source = f"connector: {HANDBOOK}; split over the pins: {PRACTICE}"
    pins = tuple(part.pins)
    neighbours = tuple(pairwise(pins))
    single, pair = (0.84, 0.16) if neighbours else (1.0, 0.0)
    at_pins = tuple(
        Fault(
            f"{name} at {pin}",
            (Cut(Pin(part.ref, pin)),),
            single * weight / len(pins),
            source,
            f"{part.ref} {name} at {pin}",
        )
        for name, weight in (("open", 61 / 84), ("poor contact", 23 / 84))
        for pin in pins
    )
    between = tuple(
        Fault(
            f"short {a}-{b}",
            (Tie(net_of(part, a), net_of(part, b)),),
            pair / len(neighbours),
            source,
            f"{part.ref} shorted {a}-{b}",
        )
        for a, b in neighbours
    )
    return (*at_pins, *between)


CONNECTOR = Kind(
    "connector",
    "connector",
    ("J", "P", "X", "CN", "CON", "XP", "XS", "PL", "SK", "TB", "ST", "BU"),
    (),
    Form.PINS,
    symbol="connector",
    faults=_connector_faults,
    aliases=("conn", "plug", "socket", "header", "terminal"),
    rate=4.0,
    raised=RAISED,
    roles=("supply", "motor", "signal", "sensor"),
    ratings=("V", "A"),
    open_pins=True,
)
TESTPOINT = Kind(
    "testpoint",
    "test point",
    ("TP", "E"),
    (PinSpec("1", ("tp",), "test point", "1"),),
    Form.PINS,
    symbol="testpoint",
    aliases=("tp",),
    rate=0.01,
    rate_source="nothing to fail",
    roles=("test point",),
)
LINK = Kind(
    "jumper",
    "link (0R)",
    ("R", "W", "JP", "LK", "J", "BR"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="link",
    cold=_wire,
    faults=failing(
        f"a solder joint: {PRACTICE}",
        opened("1", 0.9),
        stuck("r", 10.0, 0.1, "poor joint"),
    ),
    aliases=("link", "strap", "wirelink"),
    parameters=parameters(
        Parameter("r", usual(0.0, 0.0, 0.05, "ohm"), 0.0, f"0R link: {PRACTICE}")
    ),
    rate=0.5,
    rate_source=f"as a plain resistor: {PRACTICE}",
    raised=RAISED,
    roles=("jumper", "option"),
    ratings=("A",),
)
FUSE = Kind(
    "fuse",
    "fuse",
    ("F", "FU", "FS"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="fuse",
    cold=_wire,
    faults=failing(
        f"fuse: {HANDBOOK} (fails to open 49 %, slow 43 %, premature open 8 %), but the "
        f"one found on a bench is open: {PRACTICE}",
        opened("1", 0.95),
        drifted("r", 10.0, 0.05, "poor contact"),
    ),
    value="i",
    parameters=parameters(
        Parameter("i", unknown("A", 0.03, 200.0), 0.0, "usual ratings"),
        Parameter("r", usual(0.05, 0.001, 1.0, "ohm"), 0.3, f"intact: {PRACTICE}"),
    ),
    rate=4.0,
    rate_source=f"the corpse, seldom the cause: {PRACTICE}",
    raised=RAISED,
    roles=("mains fuse", "rail fuse"),
    ratings=("A", "V"),
)

JOINTS = (CONNECTOR, TESTPOINT, LINK, FUSE)
