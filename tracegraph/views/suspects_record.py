"""A diagnosis and the advice for the next reading, for machines."""

from collections.abc import Sequence

from tracegraph.asking.logbook.logs import Logged
from tracegraph.diagnose.verdict import (
    Advice,
    Evidence,
    Group,
    Proposal,
    Suspect,
    Verdict,
)
from tracegraph.diagnostics import Problem
from tracegraph.stage.reading import UNITS, Reading, Shown
from tracegraph.views.reading_words import shown
from tracegraph.views.record import (
    Record,
    condition_record,
    envelope,
    number,
    problem_record,
)
from tracegraph.views.words import change_words


def suspects_record(file: str, verdict: Verdict, logged: Logged) -> Record:
    """Return a diagnosis: its groups as results, all else under `verdict`."""
    groups = [group_record(rank, one) for rank, one in enumerate(verdict.groups, 1)]
    told = _envelope("suspects", file, logged, groups)
    return {**told, "verdict": verdict_record(verdict)}


def next_record(file: str, advice: Advice, logged: Logged) -> Record:
    """Return the readings worth taking as results, the rest under `advice`."""
    proposals = [proposal_record(one) for one in advice.proposals]
    told = _envelope("next", file, logged, proposals)
    return {**told, "advice": {"words": advice.words, "done": advice.done}}


def _envelope(
    command: str, file: str, logged: Logged, results: Sequence[Record]
) -> Record:
    """Return the envelope; every problem names the log that it stands in, or null."""
    told: list[tuple[str | None, tuple[Problem, ...]]]
    told = [(None, logged.stage.problems)]
    told += [(one.source.name, one.problems) for one in logged.told]
    problems = [
        {**problem_record(one), "log": log} for log, some in told for one in some
    ]
    return {**envelope(command, file, (), results), "problems": problems}


def verdict_record(verdict: Verdict) -> Record:
    """Return a diagnosis without its groups."""
    return {
        "state": verdict.state.value,
        "words": verdict.words,
        "healthy": number(verdict.healthy),
        "readings": [reading_record(one) for one in verdict.readings],
        "odd": [evidence_record(one) for one in verdict.odd],
        "doubtful": [
            {
                "reading": reading_record(one.reading),
                "chance": number(one.chance),
                "healthy": one.healthy,
                "words": one.words,
            }
            for one in verdict.doubtful
        ],
        "lawful": list(verdict.lawful),
        "conflicts": [sorted(one) for one in verdict.conflicts],
        "untested": list(verdict.untested),
        "unseen": list(verdict.unseen),
        "left": [
            {"reading": reading_record(one.reading), "why": one.why}
            for one in verdict.left
        ],
        "condition": condition_record(verdict.condition),
        "meter": verdict.meter,
        "supply": list(verdict.supply),
    }


def group_record(rank: int, group: Group) -> Record:
    """Return a group of suspects that read the same, with its rank."""
    return {
        "rank": rank,
        "chance": number(group.chance),
        "slip": number(group.slip),
        "suspects": [suspect_record(one) for one in group.suspects],
        "evidence": [evidence_record(one) for one in group.evidence],
        "check": group.check,
        "lift": group.lift,
    }


def suspect_record(one: Suspect) -> Record:
    """Return one thing that may be wrong; a value that is none is null."""
    return {
        "words": one.words,
        "name": one.name,
        "sort": one.sort.value,
        "parts": list(one.parts),
        "nets": list(one.nets),
        "changes": [change_words(change) for change in one.changes],
        "prior": number(one.prior),
        "chance": number(one.chance),
        "value": number(one.value),
        "low": number(one.low),
        "high": number(one.high),
        "unit": one.unit,
    }


def evidence_record(one: Evidence) -> Record:
    """Return what one reading says."""
    return {
        "reading": reading_record(one.reading),
        "healthy": one.healthy,
        "told": one.told,
        "weight": number(one.weight),
        "words": one.words,
    }


def reading_record(one: Reading) -> Record:
    """Return a reading as it was taken; OL, a beep and a climb have no value."""
    value = None if isinstance(one.shown, Shown) else one.shown
    return {
        "red": one.red,
        "black": one.black,
        "mode": one.mode.value,
        "value": number(value),
        "unit": UNITS[one.mode],
        "display": shown(one),
        "at_least": one.at_least,
        "rate": number(one.rate),
        "condition": condition_record(one.condition),
        "meter": one.meter,
        "block": one.block,
        "line": one.source.line if one.source else None,
    }


def proposal_record(one: Proposal) -> Record:
    """Return a reading worth taking, and what its outcomes would mean."""
    return {
        "red": one.probe.red,
        "black": one.probe.black,
        "mode": one.probe.mode.value,
        "condition": condition_record(one.condition),
        "bits": number(one.bits),
        "cost": number(one.cost),
        "words": one.words,
        "outcomes": [
            {
                "display": outcome.display,
                "chance": number(outcome.chance),
                "means": outcome.means,
                "healthy": outcome.healthy,
            }
            for outcome in one.outcomes
        ],
    }
