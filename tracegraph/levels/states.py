"""Which states a question is about: those declared, or every combination of inputs."""

from dataclasses import replace
from itertools import islice, product
from types import MappingProxyType

from tracegraph.stage.stage import Stage, State
from tracegraph.stage.state import find_state

MOST = 16
ALWAYS = "powered"
"""What the only state is called of a section that declares none and has no inputs."""


def asked(stage: Stage, name: str | None = None) -> tuple[Stage, tuple[str, ...]]:
    """Return the section with all states in question declared, and their names.

    Args:
        stage: The section.
        name: One declared state, or None for all; where none is declared, every
            combination of its two-level inputs, up to 16.

    Raises:
        StateError: The section declares no such state.
    """
    if not stage.states:
        stage = replace(stage, states=_combinations(stage))
    if name is not None:
        return stage, (find_state(stage, name).name,)
    return stage, tuple(state.name for state in stage.states)


def left_out(stage: Stage) -> int:
    """Return how many combinations of inputs are not worked out."""
    count = 0 if stage.states else 2 ** len(stage.inputs)
    return max(count - MOST, 0)


def _combinations(stage: Stage) -> tuple[State, ...]:
    """Return a state for every combination of the inputs' levels, named by it."""
    nets = [one.net for one in stage.inputs]
    if not nets:
        return (State(ALWAYS, MappingProxyType({})),)
    every = islice(product(("low", "high"), repeat=len(nets)), MOST)
    return tuple(
        State(
            " ".join(f"{net}={level}" for net, level in zip(nets, levels, strict=True)),
            MappingProxyType(dict(zip(nets, levels, strict=True))),
        )
        for levels in every
    )
