"""Everything that a section leaves open, for cold readings and for powered ones."""

from tracegraph.meter.unknowns.parts import chips, pinouts, values
from tracegraph.meter.unknowns.paths import beeps, untraced
from tracegraph.meter.unknowns.rests import rests
from tracegraph.meter.unknowns.unknown import Unknown
from tracegraph.stage.stage import Stage


def unknowns(stage: Stage) -> tuple[Unknown, ...]:
    """Return everything that a section leaves open, what to measure first in front."""
    return (
        *rests(stage),
        *values(stage),
        *pinouts(stage),
        *chips(stage),
        *untraced(stage),
        *beeps(stage),
    )


def powered(stage: Stage) -> tuple[Unknown, ...]:
    """Return what may move levels: not what hangs on rails, for a rail is a source.

    Chips of which nothing is known drive their pins then (`meter/live/open_ends.py`).
    """
    return (*values(stage), *pinouts(stage), *untraced(stage), *beeps(stage))
