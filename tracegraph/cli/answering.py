"""The question of `expect` answered: probes chosen, readings found, a page written."""

from typing import NamedTuple

from tracegraph.asking.probing import PointError, pair_probes, part_probes, parts_called
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.meter.expect import UnknownPointError, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.stage.alter import ChangeError
from tracegraph.stage.caution import cautions
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage


class Question(NamedTuple):
    """What is asked.

    Attributes:
        red: Net or pin under the red probe; a part where there is no second point.
        black: Net or pin under the black probe, or None.
        mode: The one mode asked for, or None.
        profile: The meter.
        condition: How the bench stands.
    """

    red: str
    black: str | None
    mode: Mode | None
    profile: Profile
    condition: Condition


class Answer(NamedTuple):
    """What was found, and the parts if a part was asked for."""

    readings: tuple[Expected, ...]
    parts: tuple[Part, ...] = ()


def answer(stage: Stage, question: Question) -> Answer:
    """Return the readings that a question asks for.

    Raises:
        Refusal: The question names what the section does not have.
    """
    try:
        return _answer(stage, question)
    except (PointError, UnknownPointError, ChangeError) as wrong:
        raise Refusal(str(wrong)) from None


def _answer(stage: Stage, asked: Question) -> Answer:
    bench = (asked.profile, asked.condition)
    if asked.black:
        ends = (asked.red, asked.black)
        probes = pair_probes(stage, *ends, asked.mode, asked.profile)
        return Answer(expect(stage, probes, *bench))
    parts = parts_called(stage, asked.red)
    probes = part_probes(stage, parts, asked.mode, asked.profile)
    if not probes:
        raise PointError(f"all pins of {asked.red} are on one net: there is no pair")
    return Answer(expect(stage, probes, *bench), parts)


def show(stage: Stage, found: Answer) -> None:
    """Write the readings as a colleague would note them."""
    heed = cautions(stage)
    if found.parts:
        from tracegraph.views.part_page import part_page

        page = part_page(found.parts, found.readings, heed)
    else:
        from tracegraph.views.expected_page import expected_page

        page = expected_page(stage.title, found.readings, heed)
    screen().show(page)


def show_json(found: Answer) -> None:
    """Write the readings for machines: a bare list."""
    from tracegraph.views.record import as_json, expected_record

    out = screen()
    records = [expected_record(one) for one in found.readings]
    out.say(as_json(records, ascii_only=out.ascii_only))
