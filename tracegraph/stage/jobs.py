"""What a part does, the same for all kinds that do it, and which of its pins match.

Looser than equality: a usual stage with a FET is the same stage with an IGBT.
"""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

SAME, ALIKE = 1.0, 0.9
SHUNT_OHMS = 1.0
"""Ohms up to which a resistor in a current's way is one to sense it: common practice."""

GATED = frozenset({"power switch", "pfet"})
"""Power devices with a gate."""

_JOBS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "resistance": ("resistor", "shunt", "fusible", "array", "load"),
        "capacitance": ("capacitor", "electrolytic", "tantalum"),
        "diode": ("diode", "rectifier", "fast", "schottky", "sicdiode"),
        "clamp": ("zener", "tvs"),
        "lamp": ("led", "whiteled", "irled"),
        "thermistor": ("ntc", "ptc"),
        "coil": ("inductor", "ferrite"),
        "power switch": ("nfet", "sicfet", "igbt"),
        "npn": ("npn", "npn-digital"),
        "pnp": ("pnp", "pnp-digital"),
        "regulator": ("regulator", "adjustableregulator"),
        "contact": ("switch", "thermostat"),
    }
)
_JOB_OF = {word: job for job, words in _JOBS.items() for word in words}
_PINS = MappingProxyType({"igbt": {"c": "d", "e": "s"}})
_ENDS_ALIKE = frozenset({"resistance", "capacitance", "coil", "thermistor", "contact"})
_WORDS_ALIKE = frozenset({"varistor", "fuse", "jumper", "winding", "crystal", "motor"})
_SHUNTS = frozenset({"shunt", "resistor", "fuse", "jumper"})
_PLUGS = frozenset({"connector", "testpoint"})


def job_of(part: Part) -> str:
    """Return what a part does: `resistance`, `power switch`; else its kind's word."""
    return _JOB_OF.get(part.kind.word, part.kind.word)


def likeness(part: Part, other: Part) -> float:
    """Return how far one may stand for the other: 1 the same kind, 0 not at all."""
    if part.kind is other.kind:
        return SAME
    return ALIKE if job_of(part) == job_of(other) else 0.0


def is_plug(part: Part) -> bool:
    """Return whether it only leads off the board, or to a probe."""
    return part.kind.word in _PLUGS


def labelled(part: Part) -> tuple[tuple[str, str], ...]:
    """Return a part's pins as (label, net); ends that may be exchanged share one."""
    loose = part.kind.word in _WORDS_ALIKE or job_of(part) in _ENDS_ALIKE
    if loose or is_plug(part) or TWO_WAY in part.variant:
        return tuple(("", net) for net in part.pins.values())
    names = _PINS.get(part.kind.word, {})
    return tuple((names.get(pin, pin), net) for pin, net in part.pins.items())


def gate_of(part: Part) -> str:
    """Return the net of a device's gate or base; empty if not traced."""
    return part.pins.get("g", part.pins.get("b", ""))


def source_of(part: Part) -> str:
    """Return the net of a device's source or emitter; empty if not traced."""
    return part.pins.get("s", part.pins.get("e", ""))


def drain_of(part: Part) -> str:
    """Return the net of a device's drain or collector; empty if not traced."""
    return part.pins.get("d", part.pins.get("c", ""))


def shunted(stage: Stage) -> Mapping[str, str]:
    """Return nets behind a shunt, fuse or link, each with the net before it.

    Grounds and rails go first: a gate resistor to the source is one to ground where
    only a shunt lies between.
    """
    first = {net: rank for rank, net in enumerate(stage.nets)}
    found: dict[str, str] = {}
    for part in stage.parts:
        if part.fitted and part.kind.word in _SHUNTS and _low(part):
            near, far = sorted(set(part.pins.values()), key=lambda net: first[net])
            found.setdefault(far, found.get(near, near))
    return found


def _low(part: Part) -> bool:
    """Return whether a part joins two nets by next to nothing."""
    if len(set(part.pins.values())) != 2 or not part.has("r"):
        return False
    ohms = part.quantity("r").typical
    return ohms is not None and ohms <= SHUNT_OHMS
