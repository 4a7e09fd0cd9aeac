"""The answer on a part with three legs: a sentence, its pins, and what is open."""

from collections.abc import Iterator
from textwrap import wrap

from tracegraph.diagnose.legs.answer import LegsAnswer, Possible
from tracegraph.diagnose.legs.say import notes, sentence, unproven
from tracegraph.diagnose.legs.step import FIXED, JOIN_FIRST, Step, Way
from tracegraph.meter.profile import Profile
from tracegraph.views.page import GAP, Block, Line, Page, Table, Tone, title

WIDTH, TYPED = 79, " > 0.612"
KEYS = (
    "Type what the display shows: .612 or 612 is 0.612 V; ol or Enter is OL; b a beep; "
    "u takes the last one back; q ends with what is known."
)
BEFORE = (
    "The part is out of the board, and so is any charge. Before every reading "
    f"{JOIN_FIRST} (a wire across them): the test itself charges a gate."
)


def opening_page(profile: Profile) -> Page:
    """Return what is said before the first reading."""
    return (
        title("Unknown part with three legs"),
        Line("Number its legs 1, 2, 3 as they lie; keep to that order."),
        Line(BEFORE),
        Line(f"Meter {profile.name}: {_meter(profile)}.", Tone.FAINT),
        Line(KEYS, Tone.FAINT),
        GAP,
    )


def prompt(step: Step, number: int) -> str:
    """Return the line that asks for a reading: `1  red on leg 1, ... > `."""
    asked = f"{number:>2}  {step.words}"
    if len(asked) + len(TYPED) <= WIDTH:
        return f"{asked} > "
    return "\n".join((*wrap(asked, WIDTH, subsequent_indent="    "), "    > "))


def why(step: Step) -> str:
    """Return why an extra reading is asked for, as a line."""
    return f"    Why: {step.why}."


def legs_page(answer: LegsAnswer, profile: Profile) -> Page:
    """Return the answer."""
    blocks: list[Block] = [title(sentence(answer))]
    if answer.readings and not answer.doubt:
        rows = tuple((str(k), leg) for k, leg in enumerate(answer.legs, 1))
        blocks += [GAP, Table(("leg", "is"), rows)]
    if len(answer.possible) > 1:
        blocks += [GAP, Line("Still possible:"), _possible(answer)]
    if answer.readings:
        blocks += [GAP, _readings(answer)]
    blocks += [GAP, *_beside(answer, profile)]
    return tuple(blocks)


def _possible(answer: LegsAnswer) -> Table:
    head = ("kind", "leg 1", "leg 2", "leg 3", "chance", "health")
    rows = tuple(
        (one.name, *_legs(one), f"{one.chance * 100:.0f} %", _health(one))
        for one in answer.possible
    )
    return Table(head, rows)


def _legs(one: Possible) -> tuple[str, ...]:
    """Return what the legs are; `any order` where nothing is known of them."""
    unknown = len(set(one.legs)) == 1 and " or " in one.legs[0]
    return ("any order", "", "") if unknown else one.legs


def _health(one: Possible) -> str:
    faults = ", ".join(fault for fault in one.faults[:2] if fault != "healthy")
    if one.healthy > 0.9 or (one.healthy > 0.1 and not faults):
        return "healthy"
    return (f"healthy, or {faults}" if one.healthy > 0.1 else faults) or "dead"


def _readings(answer: LegsAnswer) -> Table:
    rows = tuple((one.step.key, one.step.words, one.words) for one in answer.readings)
    return Table(("key", "reading", "shown"), rows)


def _beside(answer: LegsAnswer, profile: Profile) -> Iterator[Line]:
    for note in notes(answer, profile):
        yield Line(note, mark="- ")
    open_still = unproven(answer)
    if open_still:
        yield Line(f"Not proven: {open_still}.", mark="- ")
    if answer.next and answer.readings:
        step = answer.next
        joined = "" if step in FIXED or step.way is Way.PLAIN else f" ({step.why})"
        yield Line(
            f"Next: {JOIN_FIRST}, then {step.words}{joined}. Key {step.key}.",
            Tone.ASK,
        )


def _meter(profile: Profile) -> str:
    test = profile.diode
    if test is None:
        return "no diode test"
    return (
        f"diode test {test.amps * 1e3:g} mA, at most {test.volts:g} V, OL above "
        f"{test.over:g} V"
    )
