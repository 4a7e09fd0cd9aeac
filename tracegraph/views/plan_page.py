"""A plan for powering up, for people: cautions first, then step by step."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from tracegraph.powerup.record import Plan, Read, Step
from tracegraph.views.link_page import link_blocks
from tracegraph.views.page import GAP, Block, Line, Page, Table, Tone, caution, title
from tracegraph.views.reading_words import sentence

HEAD = ("red", "black", "mode", "shows", "remark")


def plan_page(plan: Plan) -> Page:
    """Return a plan: what to heed, then the steps, then what stays charged."""
    return (
        title(f"{plan.title}, powering up"),
        *map(caution, plan.cautions),
        *(block for k, step in enumerate(plan.steps, 1) for block in _step(k, step)),
        *link_blocks(plan.link),
    )


def _step(number: int, step: Step) -> Iterator[Block]:
    yield GAP
    yield title(f"{number}. {step.title}")
    yield from map(caution, step.cautions)
    yield from (_item(one) for one in step.do)
    yield from _readings(step.read)
    yield from (_item(one, Tone.ASK, "Not known: ") for one in step.unknown)
    yield from (_item(one, Tone.PLAIN, "Go on when: ") for one in step.need)
    yield from (_item(one, Tone.PLAIN, "Stop at: ") for one in step.stop)


def _item(text: str, tone: Tone = Tone.PLAIN, mark: str = "- ") -> Line:
    return Line(sentence(text), tone, indent=2, mark=mark)


def _readings(found: Sequence[Read]) -> Iterator[Block]:
    """Yield the readings of a step; those of states in one table, a column a state."""
    plain = [one for one in found if not one.state]
    if plain:
        yield Table(
            HEAD,
            tuple((one.red, one.black, one.mode, one.shows, one.why) for one in plain),
        )
    told = [one for one in found if one.state]
    states = list(dict.fromkeys(one.state for one in told))
    if not told:
        return
    rows = []
    for (red, black), same in groupby(told, key=lambda one: (one.red, one.black)):
        shows = {one.state: one.shows for one in same}
        rows.append((red, black, *(shows.get(state, "") for state in states)))
    yield Table(
        ("red", "black", *(f"volts in {state}" for state in states)), tuple(rows)
    )
