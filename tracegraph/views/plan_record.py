"""A plan for powering up, for machines."""

from collections.abc import Sequence

from tracegraph.diagnostics import Problem
from tracegraph.powerup.record import Plan, Read, Step
from tracegraph.views.link_record import link_records
from tracegraph.views.record import Record, envelope, number


def plan_record(file: str, plan: Plan, problems: Sequence[Problem]) -> Record:
    """Return a plan: cautions, then its steps as results, then the link."""
    steps = [_step(place, one) for place, one in enumerate(plan.steps, 1)]
    told = envelope("plan", file, problems, steps)
    return {**told, "cautions": list(plan.cautions), "link": link_records(plan.link)}


def _step(place: int, step: Step) -> Record:
    return {
        "step": place,
        "name": step.name,
        "title": step.title,
        "live": step.live,
        "cautions": list(step.cautions),
        "do": list(step.do),
        "read": [_read(one) for one in step.read],
        "need": list(step.need),
        "stop": list(step.stop),
        "unknown": list(step.unknown),
    }


def _read(one: Read) -> Record:
    return {
        "red": one.red,
        "black": one.black,
        "mode": one.mode,
        "state": one.state,
        "shows": one.shows,
        "low": number(one.low),
        "high": number(one.high),
        "why": one.why,
    }
