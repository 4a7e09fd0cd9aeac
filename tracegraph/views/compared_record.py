"""A comparison for machines."""

from tracegraph.asking.comparing import Compared, Told
from tracegraph.compare.by_readings import PairCompared
from tracegraph.compare.comparison import Difference
from tracegraph.compare.library import Near
from tracegraph.diagnostics import Span
from tracegraph.views.record import Record, number


def compared_record(compared: Compared) -> Record:
    """Return a comparison as a plain dictionary."""
    found = compared.comparison
    return {
        "traced": found.traced_title,
        "reference": found.reference_title,
        "same_section": found.same_section,
        "equal": found.equal,
        "similarity": number(found.similarity),
        "cost": number(found.cost),
        "parts": dict(found.parts),
        "nets": dict(found.nets),
        "differences": [_told(one) for one in compared.told],
        "ties": [[_difference(one) for one in tie] for tie in found.ties],
        "more_ties": found.more_ties,
        "equal_matches": list(found.equal_matches),
    }


def _told(one: Told) -> Record:
    return {
        **_difference(one.difference),
        "loss": one.loss,
        "readings": [
            {
                "red": effect.red,
                "black": effect.black,
                "mode": effect.mode.value,
                "was": effect.was,
                "becomes": effect.becomes,
            }
            for effect in one.effects
        ],
    }


def _difference(one: Difference) -> Record:
    return {
        "kind": one.kind.value,
        "words": one.words,
        "lawful": one.lawful,
        "traced": one.traced,
        "reference": one.reference,
        "traced_line": _line(one.traced_span),
        "reference_line": _line(one.reference_span),
    }


def _line(span: Span | None) -> int | None:
    return span.line if span else None


def near_record(near: Near) -> Record:
    """Return a usual stage as it was found in a section."""
    return {
        "pattern": near.pattern.name,
        "title": near.pattern.title,
        "similarity": number(near.similarity),
        "is_one": near.is_one,
        "lacks": list(near.lacks),
    }


def pair_record(one: PairCompared) -> Record:
    """Return a reading that both logs have."""
    return {
        "red": one.there[0],
        "black": one.there[1],
        "mode": one.mode.value,
        "good": one.good,
        "suspect": one.suspect,
        "ratio": number(one.ratio),
        "volts": number(one.volts),
        "low": number(one.low),
        "high": number(one.high),
        "within": one.within,
        "double_or_half": one.double_or_half,
        "differs": one.differs,
        "parts": list(one.parts),
    }
