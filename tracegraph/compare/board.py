"""A section as a comparison sees it: fitted parts, and nets that wires have joined."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.quantity import exact
from tracegraph.stage.kind import Form, Kind
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Link, Stage

LEAK = Kind(
    "leak",
    "bridge of some ohms",
    (),
    KINDS["resistor"].pins,
    Form.TWO_WAY,
    value="r",
    parameters=KINDS["resistor"].parameters,
)
"""A bridge that is no wire; it stands as a part, so that it can be extra or absent."""


class Piece(NamedTuple):
    """A fitted part with the joined net of every pin that is traced."""

    part: Part
    pins: Mapping[str, str]


@dataclass(frozen=True)
class Board:
    """A section made ready to be compared.

    Attributes:
        stage: The section.
        pieces: Its fitted parts, in order, then its bridges of some ohms.
        joined: For every net, the net that stands for all that wires join to it.
    """

    stage: Stage
    pieces: tuple[Piece, ...]
    joined: Mapping[str, str]

    @cached_property
    def on(self) -> Mapping[str, tuple[int, ...]]:
        """The pieces on every joined net, once a pin."""
        found: dict[str, list[int]] = {}
        for index, piece in enumerate(self.pieces):
            for net in piece.pins.values():
                found.setdefault(net, []).append(index)
        return {net: tuple(pieces) for net, pieces in found.items()}

    @cached_property
    def by_ref(self) -> Mapping[str, int]:
        """The piece of every designator, in lower case."""
        return {one.part.ref.lower(): k for k, one in enumerate(self.pieces)}


def board_of(stage: Stage) -> Board:
    """Return a section as a comparison sees it."""
    joined = _joined(stage)
    parts = [part for part in stage.parts if part.fitted]
    parts += [_leak(link) for link in stage.links if link.trusted and link.ohms > 0]
    pieces = (
        Piece(
            part,
            {
                pin: joined[net]
                for pin, net in part.pins.items()
                if pin not in part.untraced
            },
        )
        for part in parts
    )
    return Board(stage, tuple(pieces), joined)


def _joined(stage: Stage) -> dict[str, str]:
    """Return what stands for every net; a beep that may be no wire joins nothing."""
    found = {net: net for net in stage.nets}
    for link in stage.links:
        if link.trusted and link.ohms == 0:
            kept, gone = found[link.a], found[link.b]
            found = {net: kept if to == gone else to for net, to in found.items()}
    return found


def _leak(link: Link) -> Part:
    return Part(
        f"bridge {link.a}-{link.b}",
        LEAK,
        MappingProxyType({"1": link.a, "2": link.b}),
        MappingProxyType({"r": exact(link.ohms, "ohm").within(0.2)}),
        written=link.span,
    )
