"""Nets that are the same on both boards by what the files declare of them."""

from collections.abc import Callable, Hashable, Iterable

from tracegraph.compare.board import Board
from tracegraph.stage.stage import Stage

Pairs = list[tuple[str, str]]


def anchors(reference: Board, traced: Board) -> Pairs:
    """Return pairs of joined nets, reference to traced: rails, grounds, inputs.

    They go by name, of any case; what is left over goes by volts or levels, where
    these tell one net of each section, and the last one of its sort by being the last.
    """
    here, there = traced.stage, reference.stage
    found = [
        *_paired([one.net for one in there.grounds], [one.net for one in here.grounds]),
        *_paired(
            [one.net for one in there.rails],
            [one.net for one in here.rails],
            _volts(there),
            _volts(here),
        ),
        *_paired(
            [one.net for one in there.inputs],
            [one.net for one in here.inputs],
            _levels(there),
            _levels(here),
        ),
    ]
    pairs = ((reference.joined[a], traced.joined[b]) for a, b in found)
    return list(dict.fromkeys(pairs))


Look = Callable[[str], Hashable]


def _paired(
    old: Iterable[str],
    new: Iterable[str],
    look: Look = lambda _net: None,
    new_look: Look = lambda _net: None,
) -> Pairs:
    names = {net.lower(): net for net in new}
    found = [(net, names[net.lower()]) for net in old if net.lower() in names]
    left = [net for net in old if net.lower() not in names]
    known = {net.lower() for net in old}
    free = [net for net in new if net.lower() not in known]
    for net in left:
        alike = [one for one in free if new_look(one) == look(net)]
        rivals = [one for one in left if look(one) == look(net)]
        if len(alike) == len(rivals) == 1:
            found.append((net, alike[0]))
    return found


def _volts(stage: Stage) -> Look:
    volts = {rail.net: rail.volts.typical for rail in stage.rails}
    return lambda net: volts[net]


def _levels(stage: Stage) -> Look:
    levels = {
        one.net: (one.low.typical, one.high.typical, one.hertz) for one in stage.inputs
    }
    return lambda net: levels[net]
