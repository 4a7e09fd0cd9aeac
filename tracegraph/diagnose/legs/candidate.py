"""Which parts an unknown part with three legs may be, and how usual each is.

The one table of priors: common practice, no source. What a technician has on the
bench without a name is mostly a transistor, a MOSFET or a pair of diodes.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnose.legs import odd_kinds
from tracegraph.diagnose.legs.step import Way
from tracegraph.quantity import Quantity, usual
from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.kinds.igbt import NO_DIODE

FAULTY = 0.25  # chance that a part of unknown past is dead


class Telling(NamedTuple):
    """A reading that brings out what a kind is, by its pins.

    Attributes:
        red: Pin under red.
        black: Pin under black.
        way: How it is prepared.
        why: What it would show.
    """

    red: str
    black: str
    way: Way
    why: str


class Candidate(NamedTuple):
    """One kind that the part may be.

    Attributes:
        kind: The kind.
        prior: How usual it is among unknown parts, relative.
        title: What it is called; the kind's title unless given.
        given: Quantities that this form has.
        variant: Words that choose the form.
        splits: Parameters whose interval is worked on in so many pieces, because the
            display bends with them.
        telling: Readings that bring it out.
        gate: Pin that holds a charge, with the capacitance's symbol, or nothing.
        holds: Chance that the meter's current keeps it fired once it was touched.
        dead: Whether it is no healthy part at all.
    """

    kind: Kind
    prior: float
    title: str = ""
    given: Mapping[str, Quantity] = MappingProxyType({})
    variant: frozenset[str] = frozenset()
    splits: tuple[tuple[str, int], ...] = ()
    telling: tuple[Telling, ...] = ()
    gate: tuple[str, str] = ("", "")
    holds: float = 0.0
    dead: bool = False

    @property
    def name(self) -> str:
        """What it is called."""
        return self.title or self.kind.title


_N_GATE = "a charged gate makes an N-channel part conduct, a diode does not care"
_P_GATE = "a charged gate makes a P-channel part conduct, a diode does not care"
_GAIN = "a transistor amplifies the little that 100 k feeds its base, collector first; two diodes do not"
_TURNED_ON = "turns on a transistor behind its built-in resistors"
_LATCH = "a thyristor may stay on; most meters drive too little for that"
_N_FET = (Telling("d", "s", Way.CHARGED_UP, _N_GATE),)
_P_FET = (Telling("s", "d", Way.CHARGED_DOWN, _P_GATE),)
_IGBT = (Telling("c", "e", Way.CHARGED_UP, _N_GATE),)
_NPN = (Telling("c", "e", Way.PULLED_UP, _GAIN),)
_PNP = (Telling("e", "c", Way.PULLED_DOWN, _GAIN),)
_NPN_DIGITAL = (Telling("c", "e", Way.JOINED_UP, _TURNED_ON),)
_PNP_DIGITAL = (Telling("e", "c", Way.JOINED_DOWN, _TURNED_ON),)
_SCR = (Telling("a", "k", Way.TOUCHED, _LATCH),)
_TRIAC = (Telling("mt2", "mt1", Way.TOUCHED, _LATCH),)
_HFE = (("hfe", 3),)
_METAL = (("vf", 3), ("ir", 3))  # what leaks by nature: ohms go with both
_RESISTORS = (("r1", 6), ("r2", 6))
# Gain falls at nanoamperes, which the model's does not: without this a good transistor
# would be said to read some megohms from collector to emitter. Common practice.
_TIGHT = MappingProxyType({"icbo": usual(1e-12, 1e-13, 2e-11, "A")})
_R1_ONLY = MappingProxyType({**_TIGHT, "r1": usual(10e3, 1e3, 47e3, "ohm")})
_SENSITIVE = MappingProxyType({"rgk": usual(2e3, 200.0, 20e3, "ohm")})
_BARE = MappingProxyType({"rgk": usual(1e8, 1e7, 1e9, "ohm")})


def _plain(word: str, prior: float) -> Candidate:
    return Candidate(KINDS[word], prior)


CANDIDATES: tuple[Candidate, ...] = (
    Candidate(KINDS["npn"], 20.0, given=_TIGHT, splits=_HFE, telling=_NPN),
    Candidate(KINDS["pnp"], 12.0, given=_TIGHT, splits=_HFE, telling=_PNP),
    Candidate(
        KINDS["nfet"], 18.0, splits=(("vgsth", 6),), telling=_N_FET, gate=("g", "ciss")
    ),
    Candidate(
        KINDS["pfet"], 5.0, splits=(("vgsth", 6),), telling=_P_FET, gate=("g", "ciss")
    ),
    Candidate(
        KINDS["sicfet"], 1.0, splits=(("vgsth", 4),), telling=_N_FET, gate=("g", "ciss")
    ),
    Candidate(
        KINDS["igbt"],
        6.0,
        "IGBT with diode",
        splits=(("vgeth", 4),),
        telling=_IGBT,
        gate=("g", "cies"),
    ),
    Candidate(
        KINDS["igbt"],
        1.5,
        "IGBT without diode",
        variant=frozenset({NO_DIODE}),
        splits=(("vgeth", 4),),
        telling=_IGBT,
        gate=("g", "cies"),
    ),
    _plain("commoncathode", 5.0),
    Candidate(KINDS["commoncathode-schottky"], 5.0, splits=_METAL),
    _plain("commonanode", 2.0),
    Candidate(KINDS["commonanode-schottky"], 0.5, splits=_METAL),
    _plain("seriesdiodes", 2.0),
    Candidate(KINDS["seriesdiodes-schottky"], 1.0, splits=_METAL),
    Candidate(odd_kinds.LONE, 3.0),
    Candidate(odd_kinds.LONE_METAL, 1.5, splits=_METAL),
    Candidate(odd_kinds.TWO_ANODES, 0.3),
    Candidate(odd_kinds.TWO_CATHODES, 0.3),
    Candidate(
        KINDS["npn-digital"], 4.0, given=_TIGHT, splits=_RESISTORS, telling=_NPN_DIGITAL
    ),
    Candidate(
        KINDS["pnp-digital"], 2.0, given=_TIGHT, splits=_RESISTORS, telling=_PNP_DIGITAL
    ),
    Candidate(
        KINDS["npn"],
        1.0,
        "NPN with one resistor in its base lead",
        _R1_ONLY,
        splits=(("r1", 6),),
        telling=(*_NPN_DIGITAL, *_NPN),
    ),
    Candidate(
        KINDS["pnp"],
        0.5,
        "PNP with one resistor in its base lead",
        _R1_ONLY,
        splits=(("r1", 6),),
        telling=(*_PNP_DIGITAL, *_PNP),
    ),
    Candidate(odd_kinds.LINE, 1.5, given=_TIGHT),
    Candidate(KINDS["scr"], 3.0, splits=(("rgk", 3),), telling=_SCR, holds=0.05),
    Candidate(
        KINDS["scr"],
        0.5,
        "thyristor (SCR) with a sensitive gate",
        _SENSITIVE,
        splits=(("rgk", 5),),
        telling=_SCR,
        holds=0.3,
    ),
    Candidate(
        KINDS["scr"],
        1.0,
        "thyristor (SCR) with a sensitive gate",
        _BARE,
        telling=_SCR,
        holds=0.4,
    ),
    Candidate(KINDS["triac"], 4.0, splits=(("rg", 4),), telling=_TRIAC, holds=0.05),
    Candidate(odd_kinds.NJFET, 0.8, splits=(("rds", 4),)),
    Candidate(odd_kinds.PJFET, 0.3, splits=(("rds", 4),)),
    Candidate(KINDS["regulator"], 2.0, "regulator or the like"),
    Candidate(KINDS["negativeregulator"], 0.5, "negative regulator or the like"),
    Candidate(KINDS["shuntreg"], 2.0, "shunt regulator or the like"),
    Candidate(odd_kinds.SHORTED, 2.0, dead=True),
    Candidate(odd_kinds.NOTHING, 2.0, dead=True),
)
