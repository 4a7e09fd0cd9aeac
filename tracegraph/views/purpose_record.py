"""What each part is for, for machines."""

from tracegraph.purpose.result import Finding, Purpose
from tracegraph.views.record import Record, number


def purpose_record(one: Purpose) -> Record:
    """Return what a part is for as a plain dictionary; an unknown role is null."""
    return {
        "part": one.ref,
        "kind": one.title,
        "value": one.value or None,
        "nets": list(one.nets),
        "role": one.role or None,
        "lost": one.lost or None,
        "without": one.without,
        "shorted": one.shorted,
        "untold": one.untold or None,
        "changes": [_finding(finding) for finding in one.findings],
    }


def _finding(one: Finding) -> Record:
    return {
        "what": one.rank.name.lower(),
        "when": one.deed.value,
        "states": list(one.scenes),
        "subject": one.subject,
        "was": number(one.was),
        "now": number(one.now),
        "unit": one.unit,
        "words": one.words,
    }
