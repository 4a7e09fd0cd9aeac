"""What hangs together around a part: taken off a match, to be matched afresh."""

from tracegraph.compare.board import Board
from tracegraph.compare.match import Match

_HUB = 14  # pins from which a net makes no neighbours


def owners(match: Match, t: int) -> tuple[int, ...]:
    """Return the part that lies on a traced one, if one does."""
    return (match.owner[t],) if t in match.owner else ()


def cleared(match: Match, olds: set[int], t: int) -> None:
    """Take off these parts, those around them, and those that lie around a traced one."""
    near = _beside(match.ground.reference, olds)
    far = _beside(match.ground.reference, near)
    around = _beside(match.ground.traced, {t})
    claimed = {match.owner[k] for k in around if k in match.owner}
    for r in sorted({*far, *claimed}):
        if r in match.fits:
            match.take(r)


def _beside(board: Board, pieces: set[int]) -> set[int]:
    """Return these pieces and those on their nets that are no hubs."""
    nets = {net for k in pieces for net in board.pieces[k].pins.values()}
    beside = {k for net in nets if len(board.on[net]) < _HUB for k in board.on[net]}
    return beside | pieces
