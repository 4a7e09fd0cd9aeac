"""The registry of part kinds: one family a file, one list of all."""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds.analog import ANALOG
from tracegraph.stage.kinds.capacitive import CAPACITIVE
from tracegraph.stage.kinds.chip import CHIPS
from tracegraph.stage.kinds.clamp import CLAMPS
from tracegraph.stage.kinds.contact import CONTACTS
from tracegraph.stage.kinds.coupling import COUPLINGS
from tracegraph.stage.kinds.diode import DIODES
from tracegraph.stage.kinds.driver import DRIVERS
from tracegraph.stage.kinds.fet import FETS
from tracegraph.stage.kinds.igbt import IGBTS
from tracegraph.stage.kinds.joint import JOINTS
from tracegraph.stage.kinds.load import LOADS
from tracegraph.stage.kinds.pairs import PAIRS
from tracegraph.stage.kinds.regulator import REGULATORS
from tracegraph.stage.kinds.resistive import RESISTIVE
from tracegraph.stage.kinds.thermal import THERMAL
from tracegraph.stage.kinds.thyristor import THYRISTORS
from tracegraph.stage.kinds.transistor import TRANSISTORS
from tracegraph.stage.kinds.winding import WINDINGS

_ALL = (
    *RESISTIVE,
    *THERMAL,
    *CAPACITIVE,
    *WINDINGS,
    *DIODES,
    *PAIRS,
    *CLAMPS,
    *THYRISTORS,
    *TRANSISTORS,
    *FETS,
    *IGBTS,
    *COUPLINGS,
    *CONTACTS,
    *JOINTS,
    *LOADS,
    *ANALOG,
    *REGULATORS,
    *DRIVERS,
    *CHIPS,
)

KINDS: Mapping[str, Kind] = MappingProxyType({kind.word: kind for kind in _ALL})
"""Every part kind by its word."""

_WORDS: Mapping[str, Kind] = MappingProxyType(
    {word: kind for kind in _ALL for word in (kind.word, *kind.aliases)}
)

_DEFAULTS: Mapping[str, str] = MappingProxyType(
    {
        "R": "resistor",
        "RS": "shunt",
        "RSH": "shunt",
        "RN": "array",
        "RA": "array",
        "RT": "ntc",
        "NTC": "ntc",
        "PTC": "ptc",
        "C": "capacitor",
        "CX": "capacitor",
        "CY": "capacitor",
        "EC": "electrolytic",
        "L": "inductor",
        "FB": "ferrite",
        "T": "winding",
        "TR": "winding",
        "CT": "currenttransformer",
        "D": "diode",
        "CR": "diode",
        "VD": "diode",
        "ZD": "zener",
        "DZ": "zener",
        "TVS": "tvs",
        "RV": "varistor",
        "MOV": "varistor",
        "VDR": "varistor",
        "LED": "led",
        "SCR": "scr",
        "F": "fuse",
        "FU": "fuse",
        "JP": "jumper",
        "W": "jumper",
        "LK": "jumper",
        "K": "relay",
        "RL": "relay",
        "RE": "relay",
        "RY": "relay",
        "S": "switch",
        "SW": "switch",
        "J": "connector",
        "P": "connector",
        "X": "connector",
        "CN": "connector",
        "CON": "connector",
        "TP": "testpoint",
        "M": "motor",
        "LA": "lamp",
        "BZ": "buzzer",
        "LS": "buzzer",
        "Y": "crystal",
        "XTAL": "crystal",
        "BR": "bridge",
        "DB": "bridge",
        "OK": "opto",
        "PC": "opto",
        "OC": "opto",
        "U": "ic",
        "IC": "ic",
    }
)
"""What a designator's letters mean where no word says: IEEE 315 where it is one
thing only, else the bench's habit; letters that mean several (Q, V, Z) mean none."""


def find_kind(word: str) -> Kind | None:
    """Return the kind called `word` (its word or an alias, any case), or None.

    >>> kind = find_kind("NMOS")
    >>> kind.word if kind else None
    'nfet'
    """
    return _WORDS.get(word.lower())


def kind_of_letters(ref: str) -> Kind | None:
    """Return the usual kind of a designator's letters, or None where they tell none.

    >>> kind = kind_of_letters("LED3")
    >>> kind.word if kind else None
    'led'
    """
    word = _DEFAULTS.get(letters_of(ref))
    return KINDS[word] if word else None


def letters_of(ref: str) -> str:
    """Return the letters that a designator begins with, in capitals: `RN` of `rn2.3`."""
    return ref[: next((i for i, c in enumerate(ref) if not c.isalpha()), None)].upper()
