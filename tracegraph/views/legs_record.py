"""The answer on a part with three legs, for machines."""

from tracegraph.diagnose.legs.answer import LegsAnswer, Possible
from tracegraph.diagnose.legs.say import notes, sentence, unproven
from tracegraph.diagnose.legs.step import Step
from tracegraph.diagnose.legs.taken import Taken
from tracegraph.meter.profile import Profile
from tracegraph.stage.reading import UNITS, Shown
from tracegraph.views.record import Record, number


def legs_record(answer: LegsAnswer, profile: Profile) -> Record:
    """Return the answer as plain data."""
    return {
        "sentence": sentence(answer),
        "kind": answer.kind or None,
        "legs": {str(k): leg for k, leg in enumerate(answer.legs, 1)},
        "pinned": answer.pinned,
        "health": str(answer.health),
        "sound": number(answer.sound),
        "complete": answer.complete,
        "possible": [_possible(one) for one in answer.possible],
        "notes": list(notes(answer, profile)),
        "not_proven": unproven(answer) or None,
        "next": _step(answer.next) if answer.next else None,
        "meter": profile.name,
        "readings": [_taken(one) for one in answer.readings],
    }


def _possible(one: Possible) -> Record:
    return {
        "name": one.name,
        "kind": one.word or None,
        "legs": list(one.legs),
        "chance": number(one.chance),
        "healthy": number(one.healthy),
        "faults": [fault for fault in one.faults if fault != "healthy"],
    }


def _step(step: Step) -> Record:
    return {
        "key": step.key,
        "red": step.red,
        "black": step.black,
        "mode": str(step.mode),
        "words": step.words,
        "why": step.why or None,
    }


def _taken(one: Taken) -> Record:
    shown = one.shown
    word = isinstance(shown, Shown)
    return {
        "key": one.step.key,
        "shown": str(shown) if word else number(float(shown)),
        "unit": None if word else UNITS[one.step.mode],
    }
