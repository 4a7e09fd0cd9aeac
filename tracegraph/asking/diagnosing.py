"""A section with its readings diagnosed: what is wrong, and where to probe next."""

from dataclasses import replace

from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.priors import Priors
from tracegraph.diagnose.verdict import Advice, Verdict
from tracegraph.meter.profile import Profile
from tracegraph.stage.stage import Stage


def diagnosed(stage: Stage, profile: Profile, priors: Priors | None = None) -> Verdict:
    """Return what the readings in a section's log say of it.

    Args:
        stage: The section with its log.
        profile: The meter.
        priors: How likely things are before any reading; the usual table if left out.

    Raises:
        UnknownValueError: The section has a branch that nothing can be assumed of.
    """
    return _inquiry(stage, profile, priors).verdict(stage)


def advised(stage: Stage, profile: Profile, priors: Priors | None = None) -> Advice:
    """Return where to probe next, after the readings in a section's log.

    Args:
        stage: The section with its log.
        profile: The meter.
        priors: How likely things are before any reading; the usual table if left out.

    Raises:
        UnknownValueError: The section has a branch that nothing can be assumed of.
    """
    return _inquiry(stage, profile, priors).advice(stage)


_last: list[tuple[Stage, Profile, Priors | None, Inquiry]] = []


def _inquiry(stage: Stage, profile: Profile, priors: Priors | None) -> Inquiry:
    """Return the inquiry into a section: the last one goes on, with another log too.

    Who asks for the suspects mostly asks for the next reading then.
    """
    board = replace(stage, log=())
    for *asked, inquiry in _last:
        if asked == [board, profile, priors]:
            return inquiry
    inquiry = Inquiry(stage, profile, priors)
    _last[:] = [(board, profile, priors, inquiry)]
    return inquiry
