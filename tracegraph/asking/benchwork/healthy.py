"""What a healthy board shows at the point that is asked for, and taking it as read."""

from math import floor, log10

from tracegraph.asking.benchwork.now import Asked
from tracegraph.asking.logbook.typed import Wanted
from tracegraph.meter.expect import Probe, UnknownPointError, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import UnknownValueError
from tracegraph.stage.alter import ChangeError, happened
from tracegraph.stage.reading import Condition, Event, Mode, Reading, Shown
from tracegraph.stage.stage import Stage

_WORDS = {"OL": Shown.OPEN, "beep": Shown.BEEP, "no beep": Shown.SILENT}
_DIGITS = 3  # of a display, where its window is no wider than a digit


def healthy_reading(
    stage: Stage, wanted: Wanted, condition: Condition, profile: Profile
) -> Expected | None:
    """Return what a healthy board shows, after all that was done to it; None if unknown.

    Args:
        stage: The section with its log.
        wanted: Where the probes are.
        condition: How the bench stands.
        profile: The meter.
    """
    if wanted.mode is Mode.VOLTS or not condition.cold:
        return None
    try:
        found = expect(_as_it_is(stage), [Probe(*wanted)], profile, condition)[0]
    except (UnknownPointError, UnknownValueError, ChangeError):
        return None
    return None if found.error else found


def _as_it_is(stage: Stage) -> Stage:
    """Return the section after the events of its log."""
    board = stage
    for entry in stage.log:
        if isinstance(entry, Event):
            try:
                board = happened(board, entry)
            except ChangeError:
                continue  # what does not fit the board changes nothing
    return board


def taken_as_expected(asked: Asked, bench: Condition) -> Reading | None:
    """Return the reading that `as expected` stands for; None if more than one may be.

    A number is kept as coarsely as its window is wide: whoever says `as expected` has
    not read the last digits.
    """
    one = asked.expected
    if one is None or len(one.cases) != 1 or one.uncertain:
        return None
    word = _WORDS.get(one.display)
    if word and one.low is None:
        return Reading(*asked.wanted, word, condition=bench)
    if one.typical is None or one.low is None or one.high is None or one.may_be_open:
        return None
    step = _step(one.typical, one.high - one.low)
    number = round(one.typical / step) * step
    while not one.low <= number <= one.high and step > 1e-15:
        step /= 10
        number = round(one.typical / step) * step
        if number == one.typical:
            break
    number = float(f"{number:.12g}")
    return Reading(*asked.wanted, number, resolution=step, condition=bench)


def _step(typical: float, width: float) -> float:
    """Return the last digit that is worth keeping: a power of ten within the window."""
    least = 10.0 ** (floor(log10(abs(typical))) - _DIGITS + 1) if typical else 1e-3
    return float(max(least, 10.0 ** floor(log10(width)))) if width > 0 else least
