"""A section as it stands powered in one of its states, without a meter on it."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from tracegraph.meter.carriers import legs
from tracegraph.network.circuit import Circuit, Floats, Ints, compile_stage
from tracegraph.network.dense import powered, solve_items
from tracegraph.network.detours import settled
from tracegraph.network.drive import Drive
from tracegraph.network.lockout import held_low, starved
from tracegraph.network.newton import Problem, State, Truths, newton
from tracegraph.network.stability import lasting, thrown_over
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import find_state, in_state

SAME = 0.02  # volts, and part of them, within which two solutions are one
STARTS = 6  # boards switched on with every net somewhere else
SEED = 12
ROUNDS = 30  # from a start of which there are others
BRIDGE = Drive(0.0, 1.0, 0.0)  # a wire held across a switch for a moment
LIFT, SINK = (Drive(volts, 1.0, volts) for volts in (1.0, -1.0))  # across two inputs
OFFSET = 0.1  # volts: what turns over at less compares two inputs
LATCHES = 2  # devices that it takes to hold each other
LOCKS = 4  # rounds in which one driver's lock may starve another


class StandingError(ArithmeticError):
    """No steady level was found in a state; the message names it."""


@dataclass(frozen=True)
class Standing:
    """The levels of a section in one powered state.

    Attributes:
        stage: The section with the state put into its parts and rails.
        state: Name of the state.
        circuit: Its circuit.
        nodes: Volts of every node over the first of its component.
        residual: Worst Kirchhoff residual in amperes.
        locked: Outputs whose supply is under their lockout and that stay low, by their
            place among the circuit's followers.
        lasts: Whether it stays so; False for a section that is never at rest.
    """

    stage: Stage
    state: str
    circuit: Circuit
    nodes: Floats
    residual: float
    locked: tuple[int, ...] = ()
    lasts: bool = True

    def across(self, red: str, black: str) -> float:
        """Return the volts of one net over another, in any case of letters."""
        ends = [self.circuit.nodes[self.stage.net(net) or net] for net in (red, black)]
        return float(self.nodes[ends[0]] - self.nodes[ends[1]])

    def driven(self, net: str) -> bool:
        """Return whether an input is driven in this state, or the net is none."""
        inputs = {one.net for one in self.stage.inputs}
        owners = {one.owner for one in self.circuit.placed}
        return net not in inputs or f"input {net}" in owners

    @cached_property
    def currents(self) -> dict[str, tuple[Floats, ...]]:
        """Amperes into every terminal of every branch, by owner, in its branches' order."""
        found: dict[str, list[Floats]] = {}
        for placed, _, amps in legs(self.circuit, self.nodes):
            found.setdefault(placed.owner, []).append(amps)
        return {owner: tuple(many) for owner, many in found.items()}


def standing(stage: Stage, state: str) -> Standing:
    """Return how a section stands in a state, switched on with nothing charged.

    Args:
        stage: The section; every value known.
        state: Name of a declared state.

    Raises:
        StateError: The section declares no such state.
        StandingError: No steady level was found.
        UnknownValueError: A part has no value.
    """
    return standings(stage, state, starts=0)[0]


def standings(
    stage: Stage, state: str, starts: int = STARTS, near: Standing | None = None
) -> tuple[Standing, ...]:
    """Return every lasting way that a section may stand in a state.

    One for most sections; two or more for one that latches. A section that no way
    lasts of (it swings) is told by its only solution, `lasts` False.

    Args:
        stage: The section; every value known.
        state: Name of a declared state.
        starts: With how many other levels to begin, beside none at all.
        near: The same section in another state, to begin from.

    Raises:
        StateError: The section declares no such state.
        StandingError: No steady level was found.
        UnknownValueError: A part has no value.
    """
    name = find_state(stage, state).name
    section = in_state(stage, name)
    circuit = compile_stage(section, name)
    nodes, residual = _solutions(circuit, starts, near)
    if not len(nodes):
        raise StandingError(f"no steady level found in state {name}")
    found: list[Standing] = []
    for level, flaw, stays in zip(
        nodes, residual, lasting(circuit, nodes), strict=True
    ):
        one = Standing(section, name, circuit, level, float(flaw), (), bool(stays))
        if not any(_alike(one, other) for other in found):
            found.append(one)
    kept = [one for one in found if one.lasts] or found[:1]
    return tuple(_locked(one) for one in kept)


def _solutions(
    circuit: Circuit, starts: int, near: Standing | None
) -> tuple[Floats, Floats]:
    """Return solutions, the one switched on from nothing first, and their residuals."""
    begin = _starts(circuit, starts)
    if near and near.circuit.size == circuit.size:
        begin = np.concatenate([begin, near.nodes[None, :]])
    with np.errstate(over="ignore", invalid="ignore"):
        tried = powered(circuit, start=begin, way=briefly)
    if not tried[2].any():
        tried = powered(circuit)
    nodes, flaws = (table[tried[2]] for table in tried[:2])
    lasts = lasting(circuit, nodes)
    if starts and lasts.any():
        more = _nudged(circuit, nodes[int(np.argmax(lasts))])
        nodes = np.concatenate([nodes, more[0][more[2]]])
        flaws = np.concatenate([flaws, more[1][more[2]]])
        lasts = lasting(circuit, nodes)
    if lasts.all():
        return nodes, flaws
    over = thrown_over(circuit, nodes[int(np.argmin(lasts))])
    slow = powered(circuit, way=settled)
    found = [(one[0][one[2]], one[1][one[2]]) for one in (slow, over)]
    return (
        np.concatenate([*(one[0] for one in found), nodes]),
        np.concatenate([*(one[1] for one in found), flaws]),
    )


def _nudged(circuit: Circuit, nodes: Floats) -> tuple[Floats, Floats, Truths]:
    """Return where a section comes to rest after each device was turned over for a moment.

    A switch is bridged, a comparator's inputs are pulled apart either way: so a latch is
    set on the bench, too. Levels drawn at random seldom lie where one holds itself.

    Args:
        circuit: The section in a powered state.
        nodes: Node voltages of a solution that lasts, (nodes,).

    Returns:
        As `dense.powered`; no item where no devices could hold each other.
    """
    switches = np.concatenate(
        [circuit.ends[name][:, 1:] for name in ("Transistor", "Channel")]
    )
    ends = circuit.ends["Follower"]
    offset = np.abs(circuit.column("Follower.threshold")) < OFFSET
    inputs = ends[offset][:, 3:5]
    if len(switches) + len(ends) < LATCHES:
        switches = switches[:0]
    begin = [
        _held(circuit, nodes, pairs[pairs[:, 0] != pairs[:, 1]], drive)
        for pairs, drive in ((switches, BRIDGE), (inputs, LIFT), (inputs, SINK))
    ]
    start = np.concatenate(begin)
    if not len(start):
        return start, start[:, 0], np.zeros(0, np.bool_)
    with np.errstate(over="ignore", invalid="ignore"):
        return powered(circuit, start=start, way=briefly)


def _held(circuit: Circuit, nodes: Floats, pairs: Ints, drive: Drive) -> Floats:
    """Return the levels with something held across each pair, as far as found."""
    start = np.tile(nodes, (len(pairs), 1))
    if not len(pairs):
        return start
    with np.errstate(over="ignore", invalid="ignore"):
        solved, held = solve_items(circuit, pairs, drive, start=start, way=briefly)
    return np.where(solved.converged[:, None], held, start)


def briefly(problem: Problem, start: Floats) -> State:
    """Solve what Newton's method finds in a few rounds."""
    return newton(problem, start, ROUNDS)


def _starts(circuit: Circuit, count: int) -> Floats:
    """Return levels to begin from: none, all high, then every net high or low."""
    volts = np.abs(circuit.column("Source.volts")).max(initial=0.0)
    rng = np.random.default_rng(SEED)
    drawn = rng.integers(0, 2, (max(count - 1, 0), circuit.size)) * volts
    full = np.full((min(count, 1), circuit.size), volts)
    return np.concatenate([np.zeros((1, circuit.size)), full, drawn])


def _alike(one: Standing, other: Standing) -> bool:
    """Return whether two solutions are one; what floats in them says nothing."""
    size = np.maximum(np.abs(one.nodes), np.abs(other.nodes))
    return bool((np.abs(one.nodes - other.nodes) <= SAME * (1 + size)).all())


def _locked(found: Standing) -> Standing:
    """Return the section with the outputs low whose supply is under their lockout.

    Where the locks never come to agree, one starving another, it does not last.

    Raises:
        StandingError: No steady level was found with an output locked.
    """
    plain = found.circuit
    for _ in range(LOCKS):
        starving = starved(plain, found.nodes)
        rows = tuple(np.flatnonzero(starving).tolist())
        if rows == found.locked:
            return found
        circuit = replace(
            plain,
            values=held_low(plain, plain.values, starving),
            low=held_low(plain, plain.low, starving),
            high=held_low(plain, plain.high, starving),
        )
        nodes, residual, converged = powered(circuit, start=found.nodes[None, :])
        if not converged[0]:
            raise StandingError(
                f"no steady level found in state {found.state} with a driver locked out"
            )
        found = replace(
            found,
            circuit=circuit,
            nodes=nodes[0],
            residual=float(residual[0]),
            locked=rows,
        )
    return replace(found, lasts=False)
