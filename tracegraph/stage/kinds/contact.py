"""Contacts: relay, switch, thermostat. A closed contact is a wire."""

from tracegraph.quantity import Origin, Quantity, exact, unknown, usual
from tracegraph.stage.branch import Branch, Coil, Conductor
from tracegraph.stage.kind import Form, Kind, Parameter, PinSpec
from tracegraph.stage.kinds.failures import (
    HANDBOOK,
    drifted,
    failing,
    opened,
    shorted,
    stuck,
)
from tracegraph.stage.kinds.table import (
    PRACTICE,
    RAISED,
    TWO_PINS,
    parameters,
    words,
)
from tracegraph.stage.part import Part

CLOSED = "closed"

_CONTACT = Parameter(
    "ron", usual(0.0, 0.0, 0.1, "ohm"), 0.5, f"clean contact: {PRACTICE}"
)
_ON = exact(1.0, "", Origin.USUAL)
_OFF = exact(0.0, "", Origin.USUAL)


def contact(part: Part, a: str, b: str, on: Quantity) -> tuple[Conductor, ...]:
    """Return a contact: nothing when open, a wire when closed, else anything."""
    if on.typical is None:
        return (Conductor(a, b, unknown("ohm")),)
    return (Conductor(a, b, part.quantity("ron")),) if on.typical >= 0.5 else ()


def _relay(part: Part) -> tuple[Branch, ...]:
    """Return the coil, and the contacts in the position that `on` says."""
    coil = (
        Conductor("a1", "a2", part.quantity("rdc")),
        Coil("a1", "a2", part.quantity("l")),
    )
    on = part.quantity("on")
    off = on if on.typical is None else exact(1.0 - on.typical, "")
    pairs = (("com", "no", on), ("com", "nc", off))
    wired = (pair for pair in pairs if {pair[0], pair[1]} <= part.pins.keys())
    closed = tuple(one for a, b, state in wired for one in contact(part, a, b, state))
    return (*coil, *closed)


def _switch(part: Part) -> tuple[Branch, ...]:
    on = part.quantity("on")
    resting = CLOSED in part.variant and "on" not in part.given
    return contact(part, "1", "2", _ON if resting else on)


_SWITCH_FAULTS = failing(
    f"push-button switch, open 60, sticking 20, short 20 %: {HANDBOOK}",
    opened("1", 0.60),
    stuck("on", 0.0, 0.20, "sticks open"),
    shorted("1", "2", 0.20),
)

RELAY = Kind(
    "relay",
    "relay",
    ("K", "RL", "RE", "RY", "REL"),
    (
        PinSpec("a1", ("coil+", "coil1", "+"), "coil"),
        PinSpec("a2", ("coil-", "coil2", "-"), "coil"),
        PinSpec("com", ("11", "c", "common"), "common contact"),
        PinSpec("nc", ("12",), "normally closed contact"),
        PinSpec("no", ("14",), "normally open contact"),
    ),
    Form.PINS,
    symbol="relay",
    cold=_relay,
    faults=failing(
        f"relay: {HANDBOOK} (fails to trip 55 %, spurious trip 26 %, short 19 %)",
        opened("a1", 0.30, "coil open"),
        stuck("on", 0.0, 0.25, "does not pull in"),
        stuck("on", 1.0, 0.26, "welded"),
        shorted("com", "no", 0.10),
        drifted("rdc", 0.5, 0.09, "shorted turns"),
    ),
    value="rdc",
    parameters=parameters(
        Parameter(
            "rdc",
            usual(300.0, 50.0, 2000.0, "ohm"),
            0.1,
            f"coil: 5 V 50-125, 12 V 200-400, 24 V 600-1600 ohm: {PRACTICE}",
        ),
        Parameter("l", usual(0.3, 0.02, 5.0, "H"), 0.3, PRACTICE),
        _CONTACT,
        Parameter("on", _OFF, 0.0, "at rest unless a state says otherwise"),
    ),
    rate=4.0,
    rate_source=f"its contacts, as a connector: {PRACTICE}",
    raised=RAISED,
    roles=("in-rush bypass", "load switch", "precharge"),
    ratings=("V", "A"),
    open_pins=True,
)
SWITCH = Kind(
    "switch",
    "switch",
    ("S", "SW", "SA", "SB", "K", "Q"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="switch",
    cold=_switch,
    faults=_SWITCH_FAULTS,
    aliases=("contact", "button"),
    parameters=parameters(
        _CONTACT, Parameter("on", _OFF, 0.0, "open unless written closed")
    ),
    rate=4.0,
    rate_source=f"a contact, as a connector: {PRACTICE}",
    raised=RAISED,
    roles=("interlock", "limit switch", "emergency stop", "selector"),
    ratings=("V", "A"),
    variants=words({CLOSED: "switch"}),
)
THERMOSTAT = Kind(
    "thermostat",
    "thermostat",
    ("S", "TS", "TH", "F", "ST", "KSD"),
    TWO_PINS,
    Form.TWO_WAY,
    symbol="thermostat",
    cold=_switch,
    faults=_SWITCH_FAULTS,
    aliases=("cutout", "thermalswitch"),
    parameters=parameters(
        _CONTACT, Parameter("on", _ON, 0.0, f"closed when cool: {PRACTICE}")
    ),
    rate=4.0,
    rate_source=f"a contact, as a connector: {PRACTICE}",
    raised=RAISED,
    roles=("over-temperature",),
    ratings=("V", "A"),
)

CONTACTS = (RELAY, SWITCH, THERMOSTAT)
