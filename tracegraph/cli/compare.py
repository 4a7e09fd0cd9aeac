"""`tracegraph compare`: what differs from a known-good section."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple, TypedDict, Unpack

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.options import (
    FILE_TYPE,
    file_argument,
    json_option,
    meter_option,
    profile_told,
)
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.nearest import did_you_mean
from tracegraph.stage.caution import cautions
from tracegraph.stage.stage import Stage

if TYPE_CHECKING:
    from tracegraph.asking.comparing import Compared
    from tracegraph.compare.library import Near, Pattern


class Against(TypedDict):
    """What the section is compared with: each an option of its own."""

    channel: str | None
    sister: str | None
    pattern: str | None
    same: str | None


class Wanted(NamedTuple):
    """How the answer is wanted."""

    meter: str | None
    readings: bool
    as_json: bool


@click.command(cls=FileCommand, name="compare")
@file_argument
@click.argument("reference", required=False, type=FILE_TYPE)
@click.option(
    "--map",
    "same",
    metavar="R11=R21,...",
    help="Parts that are the same, FILE's first.",
)
@click.option("--channel", metavar="U", help="Compare one channel of FILE ...")
@click.option("--with", "sister", metavar="V", help="... with this sister of it.")
@click.option(
    "--pattern", metavar="NAME", help="Compare with one of the trade's usual stages."
)
@click.option(
    "--readings", is_flag=True, help="Compare the readings in both files instead."
)
@meter_option
@json_option
def command(
    file: str,
    reference: str | None,
    meter: str | None,
    *,
    readings: bool,
    as_json: bool,
    **against: Unpack[Against],
) -> int:
    """Compare FILE's section with a known-good one: REFERENCE, or a sister channel.

    A REFERENCE may be taken whole or, with --with, one channel of it only.
    Without either it is told which of the trade's usual stages FILE is nearest to, and
    what that has and FILE has not. Exit code 1 if there is a difference.
    """
    _refuse_mixtures(reference, readings=readings, **against)
    stage = section_of(file)
    wanted = Wanted(meter, readings, as_json)
    if not (reference or against["channel"] or against["pattern"]):
        tell_left_out(stage)
        return _nearest(file, stage, wanted)
    found = _compared(file, stage, reference, wanted, against)
    tell_left_out(stage)
    if readings:
        return _readings(file, found, wanted)
    _show(file, found, as_json=as_json)
    return 0 if found.comparison.equal and not holds_errors(stage) else 1


def _refuse_mixtures(
    reference: str | None, *, readings: bool, **against: Unpack[Against]
) -> None:
    channel, sister = against["channel"], against["sister"]
    if not reference and (channel is None) is not (sister is None):
        raise Refusal("--channel and --with go together: --channel U --with V")
    if against["pattern"] and (reference or channel or sister):
        raise Refusal("--pattern names what to compare with: leave the rest out")
    if against["same"] and not reference:
        raise Refusal("--map needs a REFERENCE whose parts it names")
    if readings and not (reference or channel):
        raise Refusal("--readings needs another file, or --channel U --with V")


def _compared(
    file: str,
    stage: Stage,
    reference: str | None,
    wanted: Wanted,
    against: Against,
) -> "Compared":
    """Return the comparison that was asked for.

    Raises:
        Refusal: A part, channel or pattern is not there.
    """
    # Only now: help, completion and a wrong file shall not wait for the solver.
    from tracegraph.asking.comparing import (
        compared,
        compared_pattern,
        compared_sisters,
    )
    from tracegraph.compare.compare import CompareError

    profile = profile_told(wanted.meter, file)
    channel, sister = against["channel"], against["sister"]
    try:
        if channel and sister and not reference:
            return compared_sisters(stage, channel, sister, profile)
        if against["pattern"]:
            return compared_pattern(stage, _pattern(against["pattern"]), profile)
        whole = _other(reference)
        traced, other = channel_told(stage, channel), channel_told(whole, sister)
        same = _same(against["same"], traced, other)
        found = compared(traced, other, profile, same)
        return found._replace(logs=(stage, whole))
    except CompareError as wrong:
        raise Refusal(str(wrong)) from None


def channel_told(stage: Stage, channel: str | None) -> Stage:
    """Return one channel of a section, or all of it where none is named.

    Raises:
        Refusal: The section has no such channel.
    """
    from tracegraph.compare.compare import CompareError
    from tracegraph.compare.sisters import channel_of, find_channel

    try:
        return channel_of(stage, find_channel(stage, channel)) if channel else stage
    except CompareError as wrong:
        raise Refusal(str(wrong)) from None


def _other(reference: str | None) -> Stage:
    other = section_of(reference or "")
    tell_left_out(other)
    return other


def _pattern(name: str) -> "Pattern":
    from tracegraph.compare.library import find_pattern, patterns

    found = find_pattern(name)
    if found is None:
        names = [one.name for one in patterns()]
        hint = did_you_mean(name, names) or f"; known: {', '.join(names)}"
        raise Refusal(f"there is no usual stage {name}{hint}")
    return found


def _same(text: str | None, traced: Stage, reference: Stage) -> Mapping[str, str]:
    """Return what `--map` says, reference to traced designator."""
    from tracegraph.asking.comparing import swapped_names

    pairs = []
    for one in (text or "").split(","):
        mine, mark, yours = one.strip().partition("=")
        if one.strip() and not (mark and mine and yours):
            raise Refusal(f"--map wants pairs such as R11=R21, not {one.strip()}")
        if mark:
            pairs.append((mine.strip(), yours.strip()))
    found = swapped_names(pairs, traced, reference)
    for yours, mine in found.items():
        _known(traced, mine, "traced section")
        _known(reference, yours, "reference")
    return found


def _known(stage: Stage, ref: str, where: str) -> None:
    if stage.part(ref) is None:
        hint = did_you_mean(ref, (part.ref for part in stage.parts))
        raise Refusal(f"--map: there is no part {ref} in the {where}{hint}")


def _show(file: str, found: "Compared", *, as_json: bool) -> None:
    out = screen()
    if as_json:
        from tracegraph.views.compared_record import compared_record
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.record import envelope

        problems = found.traced.problems
        record = envelope("compare", file, problems, [compared_record(found)])
        out.say(json_text(record, ascii_only=out.ascii_only))
        return
    from tracegraph.views.compared_page import compared_page

    out.show(compared_page(found, cautions(found.traced)))


def _nearest(file: str, stage: Stage, wanted: Wanted) -> int:
    from tracegraph.compare.library import nearest

    found = nearest(stage)
    if wanted.as_json:
        _nearest_json(file, stage, found)
    else:
        from tracegraph.views.nearest_page import nearest_page

        screen().show(nearest_page(stage.title or "The section", found))
    return 1 if holds_errors(stage) else 0


def _nearest_json(file: str, stage: Stage, found: "Sequence[Near]") -> None:
    from tracegraph.views.compared_record import near_record
    from tracegraph.views.record import as_json, envelope

    out = screen()
    record = envelope("compare", file, stage.problems, [near_record(o) for o in found])
    out.say(as_json(record, ascii_only=out.ascii_only))


def _readings(file: str, found: "Compared", wanted: Wanted) -> int:
    from tracegraph.asking.comparing import compared_logs
    from tracegraph.views.readings_compared_page import readings_compared_page

    pairs = compared_logs(found, profile_told(wanted.meter, file))
    out = screen()
    if wanted.as_json:
        from tracegraph.views.compared_record import pair_record
        from tracegraph.views.record import as_json, envelope

        records = [pair_record(one) for one in pairs]
        record = envelope("compare", file, found.traced.problems, records)
        out.say(as_json(record, ascii_only=out.ascii_only))
    else:
        heading = found.comparison.traced_title or "Readings"
        told = f"{heading}, by its readings"
        out.show(readings_compared_page(told, pairs, cautions(found.traced)))
    return 1 if any(one.differs for one in pairs) else 0
