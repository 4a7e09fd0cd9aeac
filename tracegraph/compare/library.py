"""Healthy reference sections of the trade's usual stages, and which one is nearest."""

from functools import cache
from typing import NamedTuple

from tracegraph.compare.fitting import Fit, fit
from tracegraph.notation.source import from_bytes
from tracegraph.stage.duties.around import Around
from tracegraph.stage.duties.every import duty
from tracegraph.stage.kind import a
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

ENDING = ".trace"
NEAR = 0.5  # share of a stage found, from which a section is one


class Pattern(NamedTuple):
    """A usual stage, its values from ordinary practice.

    Attributes:
        name: What its file is called: `relay-driver`.
        title: What it is, in the trade's words.
        stage: The section, healthy and whole.
    """

    name: str
    title: str
    stage: Stage


class Near(NamedTuple):
    """A usual stage as it was found in a section.

    Attributes:
        pattern: The usual stage.
        fit: Which of its parts and nets are which.
        lacks: What the usual stage has and the section hasn't: sentences.
    """

    pattern: Pattern
    fit: Fit
    lacks: tuple[str, ...]

    @property
    def similarity(self) -> float:
        """Share of the usual stage that was found, 0 to 1."""
        return self.fit.similarity

    @property
    def is_one(self) -> bool:
        """Whether so much was found that the section may be called such a stage."""
        return self.similarity >= NEAR


@cache
def patterns() -> tuple[Pattern, ...]:
    """Return all patterns, by name; they are read when first asked for."""
    from importlib.resources import files  # off the cold start

    folder = files("tracegraph.compare") / "patterns"
    found = sorted(one.name for one in folder.iterdir() if one.name.endswith(ENDING))
    return tuple(_pattern(name, (folder / name).read_bytes()) for name in found)


def find_pattern(name: str) -> Pattern | None:
    """Return the pattern of this name, in any case, or None."""
    wanted = name.lower().removesuffix(ENDING)
    return next((one for one in patterns() if one.name == wanted), None)


def nearest(section: Stage) -> tuple[Near, ...]:
    """Return every pattern as it was found in a section, the nearest first.

    Nearest is the one of which most parts more were found than not: a big stage with
    two parts missing goes before a small one that is whole.
    """
    fits = [(one, fit(one.stage, section)) for one in patterns()]
    ranked = sorted(fits, key=lambda pair: (-pair[1].found, -pair[1].similarity))
    return tuple(Near(one, found, lacks(one.stage, found)) for one, found in ranked)


def lacks(pattern: Stage, found: Fit) -> tuple[str, ...]:
    """Return what a pattern has and the section hasn't, in the section's names."""
    names = {**found.nets, **found.parts}
    around = Around(pattern, names)
    return tuple(_lack(around, ref) for ref in found.missing)


def _lack(around: Around, ref: str) -> str:
    part = around.stage.part(ref)
    if part is None:
        return ""
    ends = dict.fromkeys(around.called(net) for net in part.pins.values())
    nets, known = " and ".join(ends), duty(around, part)
    name = known.name if known else part.kind.title
    if len(ends) == 1:
        return f"no {name}: what it stands between is one net here, {nets}"
    if known is None:
        return f"no {name} on {nets}"
    if name == part.kind.title:
        return f"no {name} on {nets}: {known.lost}"
    return f"no {known.name}, {a(part.kind.title)} on {nets}: {known.lost}"


def _pattern(file: str, data: bytes) -> Pattern:
    stage = read(from_bytes(file, data))
    return Pattern(file.removesuffix(ENDING), stage.title, stage)
