"""`tracegraph legs`: which part an unknown one with three legs is, and how it fares."""

import sys
from typing import TYPE_CHECKING

import click

from tracegraph.cli.options import json_option, meter_option, profile_told
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen

if TYPE_CHECKING:
    from tracegraph.diagnose.legs.taken import Taken
    from tracegraph.meter.profile import Profile


@click.command(name="legs")
@click.option(
    "--readings",
    metavar="TEXT",
    help='All readings at once, such as "12=0.655 21=OL"; - takes them from input.',
)
@meter_option
@json_option
def command(readings: str | None, meter: str | None, *, as_json: bool) -> int:
    """Say what an unknown part with three legs is: kind, pins and health.

    For a part out of its board. Asks for six diode-test readings over the legs 1, 2
    and 3, red first, then for the few that part look-alikes. Keys of readings: 12;
    12r in ohms; 12+3 leg 3 touched with red first, 12-3 with black; 12k13 with 100 k
    from leg 1 to 3; 12j13 with these joined; 12t3 leg 3 bridged to red for a moment.
    Exit code 1 if it is faulty.
    """
    profile = profile_told(meter, "")
    if profile.diode is None:
        raise Refusal(f"the meter {profile.name} has no diode test, which legs needs")
    from_input = readings == "-" or (readings is None and not sys.stdin.isatty())
    if readings is None and not from_input:
        from tracegraph.cli.legs_session import session

        taken = session(profile, screen())
    else:
        text = sys.stdin.read() if from_input else readings or ""
        taken = told(text, profile)
    return _say(taken, profile, as_json=as_json)


def told(text: str, profile: "Profile") -> tuple["Taken", ...]:
    """Return the readings of a text: `12=0.655 21=OL`, one a line or word.

    What follows a `#` is a remark.

    Raises:
        Refusal: A word is no reading.
    """
    return tuple(
        _one(word, profile, number)
        for number, line in enumerate(text.splitlines(), 1)
        for word in line.split("#")[0].split()
    )


def _one(word: str, profile: "Profile", line: int) -> "Taken":
    from tracegraph.diagnose.legs.step import UnknownStepError, step_of
    from tracegraph.diagnose.legs.taken import UnreadableError, taken

    key, equals, shown = word.partition("=")
    if not equals:
        raise Refusal(f"line {line}: {word}: write a reading as 12=0.655 or 12=OL")
    try:
        return taken(step_of(key), shown, profile)
    except (UnknownStepError, UnreadableError) as wrong:
        raise Refusal(f"line {line}: {word}: {wrong}") from None


def _say(taken: "tuple[Taken, ...]", profile: "Profile", *, as_json: bool) -> int:
    from tracegraph.diagnose.legs.answer import Health, answer

    found, out = answer(taken, profile), screen()
    if as_json:
        from tracegraph.views.legs_record import legs_record
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.record import envelope

        record = envelope("legs", None, (), [legs_record(found, profile)])
        out.say(json_text(record, ascii_only=out.ascii_only))
    else:
        from tracegraph.views.legs_page import legs_page

        out.show(legs_page(found, profile))
    return 1 if found.health is Health.FAULTY else 0
