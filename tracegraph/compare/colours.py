"""Colours that tell how far around two parts, or two nets, their boards are alike.

Colour refinement (Weisfeiler and Leman, 1968): a part's colour takes in those of its
nets, a net's those of its pins. Anchored nets keep their own colour and a net of many
pins says nothing, so that one difference does not colour the whole board.
"""

from collections.abc import Hashable, Mapping
from math import log10

from tracegraph.compare.board import Board, Piece
from tracegraph.compare.likeness import alike

_ROUNDS = 5
_MANY = 14  # pins from which a net that is no anchor has no colour
_STEPS_A_DECADE = 12  # values are told apart as the E12 series does

Colours = list[dict[int, int]]


def colours(board: Board, anchored: Mapping[str, Hashable]) -> Colours:
    """Return the colour of every piece, a mapping a round; the widest look is last."""
    pieces = board.pieces
    roles = [alike(piece.part) for piece in pieces]
    now = {k: hash(piece.part.kind.word) for k, piece in enumerate(pieces)}
    found = [now]
    now = {k: hash((now[k], _value(piece))) for k, piece in enumerate(pieces)}
    found.append(now)
    for _ in range(_ROUNDS):
        nets = _net_colours(board, anchored, now, roles)
        now = {
            k: hash(
                (now[k], *sorted((roles[k][pin], nets[n]) for pin, n in p.pins.items()))
            )
            for k, p in enumerate(pieces)
        }
        found.append(now)
    return found


def _net_colours(
    board: Board,
    anchored: Mapping[str, Hashable],
    now: Mapping[int, int],
    roles: list[dict[str, str]],
) -> dict[str, int]:
    pins: dict[str, list[int]] = {}
    for k, piece in enumerate(board.pieces):
        for pin, net in piece.pins.items():
            pins.setdefault(net, []).append(hash((now[k], roles[k][pin])))
    return {
        net: hash(("anchor", anchored[net]))
        if net in anchored
        else (0 if len(there) >= _MANY else hash(tuple(sorted(there))))
        for net, there in pins.items()
    }


def _value(piece: Piece) -> int | None:
    symbol = piece.part.kind.value
    if not symbol:
        return None
    typical = piece.part.quantity(symbol).typical
    return round(_STEPS_A_DECADE * log10(typical)) if typical else None
