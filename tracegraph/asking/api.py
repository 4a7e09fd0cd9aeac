"""The main job from Python: read a section, ask what the meter should show."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Unpack

from tracegraph.asking.bench import BenchWords, bench_of, tail_of
from tracegraph.asking.probing import pair_probes, part_probes, parts_called
from tracegraph.asking.sources import source_of
from tracegraph.meter.expect import expect as expect_probes
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.meter.sheet import SheetRow
from tracegraph.meter.sheet import sheet as sheet_rows
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read as read_source
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.asking.comparing import Compared
    from tracegraph.diagnose.verdict import Advice, Verdict

NO_MAP: Mapping[str, str] = MappingProxyType({})


def read(path_or_text: str | Path) -> Stage:
    r"""Return the section that a file or a text describes.

    What could not be understood is left out and told in `problems` of the result.

    Args:
        path_or_text: A path; or the text itself, told by its having a line end.

    Raises:
        UnreadableError: There is no such file, or it holds no text.

    >>> stage = read("ground COM\nR1 10k GATE -- COM\n")
    >>> [part.ref for part in stage.parts], list(stage.nets)
    (['R1'], ['COM', 'GATE'])
    """
    if isinstance(path_or_text, str) and "\n" in path_or_text:
        return read_source(from_text("text", path_or_text))
    return read_source(source_of(Path(path_or_text)))


def expect(
    stage: Stage,
    red: str,
    black: str | None = None,
    mode: Mode | str | None = None,
    meter: Profile | str = DEFAULT,
    **bench: Unpack[BenchWords],
) -> tuple[Expected, ...]:
    """Return what a healthy section shows between two points, or over a part's pins.

    Args:
        stage: The section.
        red: Net or pin under the red probe; or a part, if `black` is left out.
        black: Net or pin under the black probe.
        mode: `ohms`, `diode`, `beep` or `cap`; if left out, every mode of the meter
            that tells something here, in both directions.
        meter: A meter, or the name or path of one.
        **bench: How the bench stands, such as `without="Q13"` or `after="10s"`.

    Raises:
        PointError: A point or part is not in the section.
        BenchError: What is said of the bench does not fit the section.
        UnknownMeterError: There is no such meter.
        ValueError: There is no such mode.
    """
    profile = _meter(meter)
    wanted = Mode(mode) if mode else None
    condition = bench_of(stage, tail_of(bench))
    if black is None:
        probes = part_probes(stage, parts_called(stage, red), wanted, profile)
    else:
        probes = pair_probes(stage, red, black, wanted, profile)
    return expect_probes(stage, probes, profile, condition)


def sheet(
    stage: Stage,
    meter: Profile | str = DEFAULT,
    *,
    short: int | None = None,
    every: bool = False,
    **bench: Unpack[BenchWords],
) -> tuple[SheetRow, ...]:
    """Return the readings worth taking on a section, the most telling first.

    Args:
        stage: The section.
        meter: A meter, or the name or path of one.
        short: Leave it at so many rows.
        every: Every pair of nets in every mode instead.
        **bench: How the bench stands, such as `without="Q13"`.

    Raises:
        BenchError: What is said of the bench does not fit the section.
        UnknownMeterError: There is no such meter.
    """
    profile, condition = _meter(meter), bench_of(stage, tail_of(bench))
    return sheet_rows(stage, profile, condition, short=short, every=every)


def compared(
    traced: Stage,
    reference: Stage,
    meter: Profile | str = DEFAULT,
    same: Mapping[str, str] = NO_MAP,
) -> "Compared":
    """Return how a section differs from a known-good one, and what confirms it.

    Args:
        traced: The section.
        reference: The known-good one.
        meter: The meter that confirms, or the name or path of one.
        same: Parts known to be the same, reference to traced designator.

    Raises:
        CompareError: `same` names a part that its section does not have.
        UnknownMeterError: There is no such meter.
    """
    from tracegraph.asking import comparing  # reading a section waits for none of it

    return comparing.compared(traced, reference, _meter(meter), same)


def suspects(
    stage: Stage, *logs: str | Path, meter: Profile | str = DEFAULT
) -> "Verdict":
    """Return which part it is, or where the tracing is wrong, by its readings.

    Args:
        stage: The section.
        *logs: Files of readings; without one the section's own readings count.
        meter: The meter they were taken with, or the name or path of one.

    Raises:
        UnreadableError: A log is not there, or holds no text.
        UnknownMeterError: There is no such meter.
    """
    from tracegraph.asking.diagnosing import diagnosed

    return diagnosed(_judged(stage, logs), _meter(meter))


def next_reading(
    stage: Stage, *logs: str | Path, meter: Profile | str = DEFAULT
) -> "Advice":
    """Return where to probe next, after the readings of a section.

    Args:
        stage: The section.
        *logs: Files of readings; without one the section's own readings count.
        meter: The meter, or the name or path of one.

    Raises:
        UnreadableError: A log is not there, or holds no text.
        UnknownMeterError: There is no such meter.
    """
    from tracegraph.asking.diagnosing import advised

    return advised(_judged(stage, logs), _meter(meter))


def _judged(stage: Stage, logs: Sequence[str | Path]) -> Stage:
    """Return the section with the readings to judge it by."""
    from tracegraph.asking.evidence import judged

    return judged(stage, [Path(log) for log in logs]).stage


def _meter(meter: Profile | str) -> Profile:
    return meter if isinstance(meter, Profile) else find_meter(meter)
