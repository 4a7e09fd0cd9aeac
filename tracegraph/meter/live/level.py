"""The level of every net in a powered state: what is there, and what the meter shows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite

import numpy as np

from tracegraph.display import seen
from tracegraph.meter.live.healthy import healthy
from tracegraph.meter.live.moves import LEAST_MOVE, Hull, differs, moved
from tracegraph.meter.live.plugs import plugged
from tracegraph.meter.live.standing import Standing, StandingError, standings
from tracegraph.meter.profile import Profile, Scale
from tracegraph.meter.unknowns.every import powered
from tracegraph.meter.unknowns.unknown import usual
from tracegraph.network.dense import solve_items
from tracegraph.network.stability import held_by
from tracegraph.stage.reading import Mode
from tracegraph.stage.reference import grounds_of, own_pairs
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import in_state

FLOATS = 20e6  # ohms behind a net from which the meter itself decides what it shows
LOADED = 0.01  # part of a level that the meter takes away and is told of


@dataclass(frozen=True, slots=True)
class Level:
    """The level of a net over its own ground in one state.

    Attributes:
        net: The net.
        ground: The ground that it is measured against.
        volts: What is there without a meter; None where nothing holds it or an unknown
            decides.
        shown: What the meter shows; None where an unknown or a plug decides.
        low: Least display of 99.7 % of healthy boards, or over all unknowns; minus
            infinity where too few of the boards drawn have a level to tell.
        high: Greatest likewise.
        floats: Whether nothing holds the net: leakage, or the meter, decides.
        ohms: Resistance behind the net, to a small current.
        uncertain: The unknowns that decide, the biggest first.
        ask: What to do about the first.
        others: Other levels at which the section may last, for one that latches.
        plug: The connector that decides what floats, or empty.
    """

    net: str
    ground: str
    volts: float | None
    shown: float | None
    low: float
    high: float
    floats: bool = False
    ohms: float = 0.0
    uncertain: tuple[str, ...] = ()
    ask: str = ""
    others: tuple[float, ...] = ()
    plug: str = ""

    @property
    def window(self) -> tuple[float, float] | None:
        """From where to where displays lie; None where that is not known."""
        return (self.low, self.high) if isfinite(self.high - self.low) else None

    @property
    def loaded(self) -> bool:
        """Whether the meter takes a noticeable part of the level away."""
        if self.volts is None or self.shown is None:
            return False
        taken = abs(self.volts - self.shown)
        return taken > max(LOADED * abs(self.volts), LEAST_MOVE)


@dataclass(frozen=True, slots=True)
class Live:
    """A section in one powered state.

    Attributes:
        state: The state's name.
        found: How it stands; first the way that it comes to when switched on.
        levels: Every net that some ground reaches, in the order of the file.
        own: Gates over their own sources and supplies over their own returns, where
            these are no grounds.
        adrift: Nets that no ground reaches: measured against nothing.
    """

    state: str
    found: tuple[Standing, ...]
    levels: tuple[Level, ...]
    own: tuple[Level, ...]
    adrift: tuple[str, ...]

    def level(self, net: str) -> Level | None:
        """Return the level of a net, in any case of letters, or None."""
        wanted = net.lower()
        return next((one for one in self.levels if one.net.lower() == wanted), None)


def live(
    stage: Stage, state: str, profile: Profile, near: Standing | None = None
) -> Live:
    """Return the levels of a section in a state.

    Args:
        stage: The section.
        state: Name of a declared state.
        profile: The meter.
        near: The same section in another state, to begin from.

    Raises:
        StateError: The section declares no such state.
        StandingError: No steady level was found.
    """
    likeliest = usual(stage, powered(stage))
    grounds = {
        n: g for n, g in grounds_of(likeliest, live=True).items() if n in stage.nets
    }
    pairs = [(net, grounds[net]) for net in stage.nets if net in grounds]
    own = [pair for pair in own_pairs(likeliest) if set(pair) <= grounds.keys()]
    found, levels = between(stage, state, profile, [*pairs, *own], near)
    adrift = tuple(net for net in stage.nets if net not in grounds)
    cut = len(pairs)
    return Live(found[0].state, found, levels[:cut], levels[cut:], adrift)


def between(
    stage: Stage,
    state: str,
    profile: Profile,
    pairs: Sequence[tuple[str, str]],
    near: Standing | None = None,
) -> tuple[tuple[Standing, ...], tuple[Level, ...]]:
    """Return how a section stands in a state, and levels of nets over others.

    Args:
        stage: The section.
        state: Name of a declared state.
        profile: The meter.
        pairs: Nets of red and black.
        near: The same section in another state, to begin from.

    Raises:
        StateError: The section declares no such state.
        StandingError: No steady level was found.
    """
    _demand_volts(stage, state)
    unknowns = powered(stage)
    found = standings(usual(stage, unknowns), state, near=near)
    first = found[0]
    ways = [_measured(one, pairs, profile) for one in found]
    levels = [_several(*ones) for ones in zip(*ways, strict=True)]
    for subject, ask, hulls in moved(stage, unknowns, first, pairs):
        levels = [
            _unsure(one, subject, ask, hull)
            for one, hull in zip(levels, hulls, strict=True)
        ]
    plugs = plugged(first, [one.net for one in levels if one.floats])
    return found, tuple(_plugged(one, plugs.get(one.net, "")) for one in levels)


def _plugged(level: Level, plug: str) -> Level:
    """Return a level with the plug that decides where it floats, and then no figure.

    What an unplugged mains input shows would be taken for what the mains do.
    """
    if not plug:
        return level
    return replace(level, plug=plug, shown=None, low=-inf, high=inf)


def _demand_volts(stage: Stage, state: str) -> None:
    """Refuse a state in which a rail has no voltage, or an input no levels.

    Raises:
        StandingError: It names the rail and what to write.
    """
    for rail in in_state(stage, state).rails:
        if rail.volts.typical is None:
            words = f"{rail.net} has no voltage: write it on its line, `rail {rail.net} 12V`"
            raise StandingError(f"{words}, or set it in the state, `{rail.net}=12V`")
    for pin in stage.inputs:
        if None in {one.typical for one in (pin.low, pin.high, pin.via)}:
            words = f"{pin.net}'s levels or resistance are not known: write"
            raise StandingError(f"{words} `input {pin.net} 0V / 5V via 1k`")


def _measured(
    found: Standing,
    pairs: Sequence[tuple[str, str]],
    profile: Profile,
) -> list[Level]:
    """Return the levels of nets with all unknowns at their most usual."""
    circuit, scales = found.circuit, profile.scales(Mode.VOLTS)
    ends = np.array([[circuit.nodes[net] for net in pair] for pair in pairs], np.intp)
    ends = ends.reshape(-1, 2)
    true = found.nodes[ends[:, 0]] - found.nodes[ends[:, 1]]
    start = np.tile(found.nodes, (len(ends), 1))
    solved, _ = solve_items(circuit, ends, scales[0].drive, start=start)
    low, high = healthy(found, ends)
    ohms = held_by(circuit, found.nodes, ends)
    levels = []
    for row, (net, ground) in enumerate(pairs):
        floats = bool(ohms[row] > FLOATS)
        shown = float(solved.volts[row]) if solved.converged[row] else None
        share = 1.0 if shown is None or not true[row] else shown / float(true[row])
        span = (float(low[row]) * share, float(high[row]) * share)
        if floats:
            span = (float(true[row]) if shown is None else shown,) * 2
        elif not isfinite(sum(span)):
            span = (-inf, inf)
        span = _with_meter(*span, scales)
        volts = None if floats else float(true[row])
        levels.append(Level(net, ground, volts, shown, *span, floats, float(ohms[row])))
    return levels


def _with_meter(
    low: float, high: float, scales: Sequence[Scale]
) -> tuple[float, float]:
    """Return a window with the accuracy of the range that it is read on."""
    most = max(abs(low), abs(high))
    scale = next((one for one in scales if most <= one.full), scales[-1])
    return seen(low - scale.error(low)), seen(high + scale.error(high))


def _several(level: Level, *ways: Level) -> Level:
    """Return a level with those of the other ways in which the section may last."""
    here = level.volts
    if here is None or not ways:
        return level
    others = [one.volts for one in ways if one.volts is not None]
    apart = tuple(one for one in others if differs(here, one, LOADED))
    low = min(level.low, *(one.low for one in ways))
    high = max(level.high, *(one.high for one in ways))
    return replace(level, others=apart, low=low, high=high)


def _unsure(level: Level, subject: str, ask: str, hull: Hull) -> Level:
    """Return a level that an unknown moves, with the bound that still holds."""
    if hull is None:
        return level
    low, high = min(level.low, hull[0]), max(level.high, hull[1])
    return replace(
        level,
        volts=None,
        shown=None,
        low=seen(low),
        high=seen(high),
        floats=False,
        uncertain=(*level.uncertain, subject),
        ask=level.ask or ask,
    )
