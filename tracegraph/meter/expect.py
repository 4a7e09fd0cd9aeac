"""The main job: what a healthy section shows between two points, and why."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from tracegraph.meter.answer import Bench, answers
from tracegraph.meter.expected import Expected
from tracegraph.meter.live.expected import expected_volts
from tracegraph.meter.profile import Profile
from tracegraph.meter.unknowns.boards import Boards
from tracegraph.meter.unknowns.every import unknowns
from tracegraph.stage.reading import AS_IT_LIES, Condition, Mode
from tracegraph.stage.stage import Stage
from tracegraph.stage.state import on_bench


class Probe(NamedTuple):
    """A reading asked for: red and black (nets or pins, as asked), and mode."""

    red: str
    black: str
    mode: Mode


class UnknownPointError(ValueError):
    """A probe stands on a net or pin that the section does not have.

    Attributes:
        name: The name asked for.
        near: Names that were probably meant, the likeliest first.
    """

    def __init__(self, name: str, near: Sequence[str]) -> None:
        """Say which name is unknown, and which was probably meant."""
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        super().__init__(f"the section has no net or pin called {name}{hint}")
        self.name = name
        self.near = tuple(near)


def expect(
    stage: Stage,
    probes: Iterable[Probe],
    profile: Profile,
    condition: Condition = AS_IT_LIES,
) -> tuple[Expected, ...]:
    """Return the expected reading of every probe, in the order asked.

    Args:
        stage: The section.
        probes: The readings asked for; volts of a powered board, else of a cold one.
        profile: The meter.
        condition: How the bench stands.

    Raises:
        UnknownPointError: A probe names no net or pin of the section.
        ChangeError: The condition speaks of parts or pins that are not there.
    """
    probes = tuple(probes)
    section = on_bench(stage, condition)
    boards = Boards(section, unknowns(section))
    bench = Bench(section, boards, profile, condition)
    found: dict[int, Expected] = {}
    for mode in dict.fromkeys(probe.mode for probe in probes):
        asked = [k for k, probe in enumerate(probes) if probe.mode is mode]
        pairs = [
            (_net(section, probes[k].red), _net(section, probes[k].black))
            for k in asked
        ]
        if mode is Mode.VOLTS:
            told = expected_volts(section, pairs, profile, condition)
        else:
            told = answers(bench, pairs, mode)
        for k, one in zip(asked, told, strict=True):
            found[k] = replace(one, red=probes[k].red, black=probes[k].black)
    return tuple(found[k] for k in range(len(probes)))


def _net(stage: Stage, name: str) -> str:
    """Return the net that a probe stands on."""
    net = stage.net(name)
    if net is None:
        from difflib import get_close_matches  # only where something is amiss

        known = {one.lower(): one for one in stage.nets}
        near = get_close_matches(name.lower(), known, n=2, cutoff=0.6)
        raise UnknownPointError(name, [known[one] for one in near])
    return net
