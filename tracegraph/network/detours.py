"""The steady state of every item, by detours for those where Newton's steps swing."""

import numpy as np

from tracegraph.network.circuit import Floats
from tracegraph.network.newton import Problem, State, newton

SHORT_ROUNDS = 30  # on a detour, where the next attempt starts nearer
FALL = 40  # steps in which a disturbance doubles, or nearly so
SLOW_ROUNDS = 15  # a slow step that takes longer is too fast
RAMP = (1e-4, 1e-3, 1e-2, 0.03, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.9, 1.0)
HOLD = 0.1  # siemens to begin with
LEAST_HOLD, MOST_HOLD = 1e-13, 1e4  # siemens that hold nothing any more, or all
LOOSER = 0.1
TIGHTER = 20.0
PATIENCE = 120  # slow steps
GAINS = (0.003, 0.01, 0.03, 0.1, 0.3, 1.0)


def solve(problem: Problem, start: Floats) -> State:
    """Return the steady state of every item, by detours for the stubborn ones."""
    with np.errstate(over="ignore", invalid="ignore"):
        state = newton(problem, start)
        for detour in (_ramp, _settle, _soften):
            failed = np.flatnonzero(~state.converged)
            if failed.size:
                found = detour(problem.take(failed), start[failed])
                for whole, part in zip(state, found, strict=True):
                    whole[failed] = part
    return state


def _ramp(problem: Problem, start: Floats) -> State:
    """Turn meter and sources up from nothing."""
    state = newton(problem.scaled(RAMP[0]), np.zeros_like(start))
    for share in RAMP[1:]:
        state = newton(problem.scaled(share), state.unknowns, SHORT_ROUNDS)
    return state


def _settle(problem: Problem, start: Floats) -> State:
    """Switch on with nothing anywhere, every node moving only slowly."""
    return settled(problem, np.zeros_like(start))


def settled(problem: Problem, past: Floats) -> State:
    """Let every node move only slowly from where it was, as if a capacitor hung on it.

    What comes to rest so is a state that the section stays in.
    """
    hold = np.full(len(past), HOLD)
    for _ in range(PATIENCE):
        state = newton(problem.held(hold, past), past, SLOW_ROUNDS)
        past = np.where(state.converged[:, None], state.unknowns, past)
        hold = hold * np.where(state.converged, LOOSER, TIGHTER)
        if (hold < LEAST_HOLD).all():
            break
        hold = np.clip(hold, LEAST_HOLD, MOST_HOLD)
    return newton(problem, past)


def fallen(problem: Problem, past: Floats, siemens: float) -> Floats:
    """Return the unknowns after many short steps from where they were.

    Args:
        problem: The sections.
        past: The unknowns, one row an item.
        siemens: What holds every node to its past in a step.
    """
    hold = np.full(len(past), siemens)
    for _ in range(FALL):
        state = newton(problem.held(hold, past), past, SHORT_ROUNDS)
        past = np.where(state.converged[:, None], state.unknowns, past)
    return past


def _soften(problem: Problem, start: Floats) -> State:
    """Begin with followers that hardly follow."""
    state = _settle(problem.softened(GAINS[0]), start)
    for share in GAINS[1:]:
        state = newton(problem.softened(share), state.unknowns)
    return state
