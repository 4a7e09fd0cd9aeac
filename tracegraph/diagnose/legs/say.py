"""The answer in the trade's words: one sentence, and what must be known beside it."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from tracegraph.diagnose.legs.answer import Health, LegsAnswer, Possible
from tracegraph.diagnose.legs.belief import RESISTIVE, STRAY
from tracegraph.diagnose.legs.step import FIXED, Way
from tracegraph.meter.profile import Profile
from tracegraph.stage.kind import a
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.proof import not_proven
from tracegraph.stage.reading import Shown

NAMED = 4  # kinds that a sentence has room for
CHARGED = (Way.CHARGED_UP, Way.CHARGED_DOWN)
_GATED = {"nfet", "pfet", "sicfet", "igbt"}
_FIRED = {"scr", "triac"}
_SEEN_ON = "its voltage when blocking, its resistance at full current, and its speed"
_ODD: Mapping[str, str] = MappingProxyType(
    {
        "lone-diode": "its voltage when blocking, its leakage when hot, and its speed",
        "lone-schottky": "its voltage when blocking and its leakage when hot",
        "line-transistor": "its gain, its voltage when blocking, and its speed",
        "njfet": "its pinch-off voltage and its noise; drain and source look alike",
        "pjfet": "its pinch-off voltage and its noise; drain and source look alike",
    }
)


def sentence(answer: LegsAnswer) -> str:
    """Return what the part is, in a sentence."""
    if not answer.readings:
        return "Nothing is known of this part yet."
    if answer.doubt == RESISTIVE:
        return (
            "It conducts alike both ways: a transistor, FET or diode that does so is "
            "leaky or burnt: replace it. Only resistors are so by nature."
        )
    if answer.doubt == STRAY:
        return (
            "No part that is known here reads like this: take the oddest reading again; "
            "if it stays, the part is damaged or of another sort."
        )
    return _of_kind(answer) if answer.kind else _of_many(answer)


def _of_kind(answer: LegsAnswer) -> str:
    name = _capital(a(answer.kind))
    return {
        Health.HEALTHY: f"{name}, healthy as far as these readings show.",
        Health.FAULTY: f"{name}, faulty{_faults(answer)}: replace it.",
        Health.OPEN: f"{name}; whether it is healthy is not settled yet.",
    }[answer.health]


def _of_many(answer: LegsAnswer) -> str:
    if not answer.complete:
        missing = len(FIXED) - len(_plain(answer) & {one.key for one in FIXED})
        return f"Not settled: {missing} of the six fixed readings are missing."
    names = _names(answer)
    if answer.health is Health.FAULTY:
        return f"Faulty, whatever it was{_faults(answer)}. Perhaps {names}."
    health = "" if answer.health is Health.OPEN else ", healthy as far as seen"
    return f"Not settled: {names}{health}."


def _names(answer: LegsAnswer) -> str:
    """Return the alternatives, the first few by name."""
    every = list(dict.fromkeys(a(one.name) for one in _told(answer)))
    named = every if len(every) <= NAMED else [*every[: NAMED - 1], "something else"]
    return " or ".join(named)


def notes(answer: LegsAnswer, profile: Profile) -> tuple[str, ...]:
    """Return what must be known beside the sentence, a fact each."""
    return tuple(_notes(answer, profile))


def unproven(answer: LegsAnswer) -> str:
    """Return what a pass leaves open, or nothing where there is no pass."""
    if not answer.kind or answer.health is Health.FAULTY:
        return ""
    word = answer.possible[0].word
    if word in _GATED and _turned_on(answer):
        return _SEEN_ON
    if word in KINDS:
        return not_proven(KINDS[word])
    return _ODD.get(word, "that it works under power")


def _notes(answer: LegsAnswer, profile: Profile) -> Iterator[str]:
    words = {one.word for one in answer.possible}
    ways = {one.step.way for one in answer.readings}
    missing = [one.key for one in FIXED if one.key not in _plain(answer)]
    if missing and answer.readings:
        yield f"Not taken yet: {', '.join(missing)}."
    if _shorted(answer):
        yield (
            "A charged gate looks like a short: join all three legs and take it again "
            "before you throw it away. A diode with two legs joined inside reads so too."
        )
    if words & _GATED and ways & set(CHARGED) and not _turned_on(answer):
        volts = profile.diode.volts if profile.diode else 0.0
        yield (
            f"This meter puts at most {volts:g} V on a gate. Thresholds are 1.5 to 4.5 V "
            "in a MOSFET, 4 to 7 V in an IGBT: OL after charging does not rule them out."
        )
    if words & _FIRED and Way.TOUCHED in ways:
        yield (
            "About 1 mA fires and holds only sensitive thyristors: OL after touching the "
            "gate proves nothing; a lamp and a 12 V supply would tell."
        )
    if {"shuntreg", "commonanode"} <= words:
        yield (
            "A shunt regulator and a common-anode pair read alike here: the marking "
            "decides."
        )
    if words & _FIRED and not answer.pinned:
        yield "A few ohms between gate and cathode (MT1) read alike both ways round."


def _plain(answer: LegsAnswer) -> set[str]:
    return {one.step.key for one in answer.readings if one.step.way is Way.PLAIN}


def _shorted(answer: LegsAnswer) -> bool:
    """Return whether a short is the likeliest fault of a part that looks dead."""
    faults = answer.possible[0].faults
    return answer.sound < 0.5 and any("short" in one for one in faults[:1])


def _turned_on(answer: LegsAnswer) -> bool:
    """Return whether a charged gate was seen to make the channel conduct."""
    return any(
        one.step.way in CHARGED and not isinstance(one.shown, Shown) and one.shown < 0.3
        for one in answer.readings
    )


def _faults(answer: LegsAnswer) -> str:
    best = answer.possible[0]
    faults = [fault for fault in best.faults if fault != "healthy"]
    return f" ({' or '.join(faults[:2])})" if faults else ""


def _told(answer: LegsAnswer) -> list[Possible]:
    """Return the alternatives that a sentence has room for."""
    most = answer.possible[0].chance
    return [one for one in answer.possible if one.chance > 0.05 * most]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
