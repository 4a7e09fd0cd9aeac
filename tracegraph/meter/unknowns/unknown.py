"""An unknown of a section, and what it may turn out to be."""

from collections.abc import Iterable
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Add, Change
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage


class Alternative(NamedTuple):
    """One thing that an unknown may be.

    Attributes:
        words: What it would be: `1 k`, `nothing else`, `b=N1 c=COM e=DRV`.
        changes: What it does to the section; what it adds is named by a part that no
            other alternative names.
        share: How usual it is, 0 to 1.
    """

    words: str
    changes: tuple[Change, ...]
    share: float


class Unknown(NamedTuple):
    """Something that the section leaves open.

    Attributes:
        subject: What is open: `R15`, `what else hangs on P12`.
        alternatives: What it may be, the most usual first.
        ask: The one thing to do about it.
    """

    subject: str
    alternatives: tuple[Alternative, ...]
    ask: str


def usual(stage: Stage, unknowns: Iterable[Unknown]) -> Stage:
    """Return a section with every unknown at its most usual.

    Raises:
        ChangeError: Two of them do not go together.
    """
    changes = [change for one in unknowns for change in one.alternatives[0].changes]
    return apply(stage, changes, keep_names=True)


def resistor(name: str, a: str, b: str, ohms: float) -> Add:
    """Return the change that puts a resistance between two nets."""
    pins, given = {"1": a, "2": b}, {"r": exact(ohms, "ohm")}
    kind = KINDS["resistor"]
    return Add(Part(name, kind, MappingProxyType(pins), MappingProxyType(given)))


def junction(name: str, anode: str, cathode: str) -> Add:
    """Return the change that puts a chip's usual cold junction between two nets."""
    pins = {"a": anode, "k": cathode}
    return Add(Part(name, KINDS["diode"], MappingProxyType(pins)))
