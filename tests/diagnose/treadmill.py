"""The treadmill example on the bench, its readings, and one inquiry for all tests."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tests.test_examples import stage_of
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Group, Verdict
from tracegraph.stage.change import Change
from tracegraph.stage.reading import Mode, Reading

D, O = Mode.DIODE, Mode.OHMS  # noqa: E741 - as the dial says
SENSIBLE = (
    ("GATE", "COM", O),
    ("GATE", "COM", D),
    ("COM", "GATE", D),
    ("DRV", "COM", O),
    ("V15", "DRV", D),
    ("DRV", "V15", D),
    ("PULL", "COM", D),
    ("COM", "PULL", D),
    ("NB", "COM", D),
    ("GD", "DRV", D),
    ("DRV", "GD", D),
    ("V15", "PB", O),
)
"""Twelve readings that one would take: gate, driver and helper to what they hang on."""
TREADMILL = replace(stage_of("treadmill-gate-drive.trace"), log=())


@cache
def inquiry() -> Inquiry:
    """Return the inquiry, which keeps what it has worked out."""
    return Inquiry(TREADMILL, HANDHELD)


def taken(changes: Sequence[Change] = (), seed: int = 1) -> list[Reading]:
    """Return the sensible readings of a board that is wrong in these ways."""
    return list(Bench(TREADMILL, changes, seed=seed).log(SENSIBLE))


def judged(readings: Sequence[Reading]) -> Verdict:
    """Return what readings say of the board, worked out once for all tests."""
    return _judged(tuple(readings))


@cache
def _judged(readings: tuple[Reading, ...]) -> Verdict:
    return inquiry().verdict(with_readings(TREADMILL, readings))


def members(group: Group) -> list[str]:
    """Return the words of a group's suspects."""
    return [one.words for one in group.suspects]
