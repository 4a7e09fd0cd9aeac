"""What readings say of a suspect, in the trade's words."""

from math import exp, isinf, isnan

from tracegraph.diagnose.likelihood import in_volts
from tracegraph.diagnose.verdict import Doubtful, Evidence
from tracegraph.display import show
from tracegraph.meter.profile import Profile
from tracegraph.stage.reading import UNITS, Mode, Reading, Shown
from tracegraph.stage.shown import shown

SHORT_VOLTS = 0.1  # a diode test under it is called a short
JUNCTION_VOLTS = 0.2  # and over it a junction
LIVE_STEP = 0.01  # volts to which a live level is foretold at best
SPEAKS = 0.5  # nats from which a reading speaks for or against


def display_of(told: float, mode: Mode, profile: Profile) -> str:
    """Return what stands on the display, from a value as it is worked on."""
    if isnan(told):
        return "?"
    value = told if in_volts(mode) else exp(min(told, 80.0))
    if mode is Mode.BEEP:
        below = profile.beep.below if profile.beep else 50.0
        return "beep" if not isinf(told) and value < below else "no beep"
    scales = profile.scales(mode)
    if isinf(told) or abs(value) > scales[-1].full:
        return "OL"
    scale = next((one for one in scales if abs(value) <= one.full), scales[-1])
    step = max(scale.step, LIVE_STEP) if mode is Mode.VOLTS else scale.step
    rounded = round(value / step) * step + 0.0
    return show(rounded, UNITS[mode])


def evidence(
    reading: Reading, healthy: str, told: str, weight: float, suspect: str
) -> Evidence:
    """Return what one reading says of a suspect."""
    place = f"{reading.red} to {reading.black}, {how_words(reading)}"
    saw = shown(reading)
    if weight > SPEAKS:
        words = f"{place}: {saw}, a healthy section shows {healthy}"
        words += f"; {told} with it" if told else ""
        oddity = strange(reading, healthy)
        words += f" ({oddity})" if oddity else ""
    elif weight < -SPEAKS:
        words = f"{place}: {saw} as on a healthy section; {suspect} would show {told}"
    else:
        words = f"{place}: {saw} says nothing of it"
    return Evidence(reading, healthy, told, weight, words)


def mode_words(mode: Mode) -> str:
    """Return how the trade calls a mode."""
    return {
        Mode.OHMS: "ohms",
        Mode.DIODE: "diode test",
        Mode.BEEP: "continuity",
        Mode.CAP: "capacitance",
        Mode.VOLTS: "volts",
    }[mode]


def how_words(reading: Reading) -> str:
    """Return how a reading was taken: its mode, and the state of a powered board."""
    words = mode_words(reading.mode)
    power = reading.condition.power
    return words if reading.condition.cold else f"{words} in {power}"


def strange(reading: Reading, healthy: str) -> str:
    """Return what is odd about a reading as the bench says it; empty if nothing."""
    saw, good = _number(reading), _told(healthy)
    if reading.mode is Mode.DIODE:
        return _strange_volts(saw, good)
    if reading.mode is Mode.VOLTS:
        return _strange_level(saw, good)
    if reading.mode is Mode.OHMS and saw is not None:
        if good is None or saw < good:
            return "reads low: something lies across"
        return "reads high: nothing in parallel does that, so open or risen"
    if reading.mode is Mode.OHMS and good is not None:
        return "no way across where there should be one: open"
    return ""


def _strange_volts(saw: float | None, good: float | None) -> str:
    if saw is None:
        return "no junction conducts where one should: open"
    if saw < SHORT_VOLTS:
        return "next to nothing: a short or a low path"
    if good is None:
        return "conducts where it should block: leaky, or a path around"
    return "less than its junction: a path beside it" if saw < good else ""


def _strange_level(saw: float | None, good: float | None) -> str:
    if saw is None or good is None or saw * good < 0:
        return ""
    if abs(saw) < abs(good):
        return "too low: nothing lifts it, or something holds it down"
    return "too high: nothing pulls it down, or something lifts it"


def _number(reading: Reading) -> float | None:
    if isinstance(reading.shown, Shown) or reading.at_least:
        return None
    return float(reading.shown)


def _told(display: str) -> float | None:
    """Return a display as a number, roughly; None for OL and beeps."""
    word = display.replace("Ω", " ").split()
    if not word:
        return None
    try:
        value = float(word[0])
    except ValueError:
        return None
    unit = word[1][:1] if len(word) > 1 else ""
    return value * {"k": 1e3, "M": 1e6, "m": 1e-3, "µ": 1e-6}.get(unit, 1.0)


def doubtful(
    reading: Reading, healthy: str, chance: float, *, swapped: bool
) -> Doubtful:
    """Return a reading that fits nothing, and what to do about it.

    Args:
        reading: The reading.
        healthy: What a healthy section shows there.
        chance: How likely it is that the probe slipped.
        swapped: Whether the healthy section shows this the other way round.
    """
    if swapped:
        why = "it is what the probes the other way round show: were they swapped?"
    elif reading.mode is Mode.OHMS and not isinstance(reading.shown, Shown):
        why = "probes on the right points? charge left on a capacitor?"
    elif reading.mode is Mode.VOLTS and not reading.shown:
        why = "did both tips touch bare metal, and was the board powered?"
    elif reading.shown is Shown.OPEN:
        why = "did both tips touch bare metal?"
    else:
        why = "probes on the right points?"
    words = f"take {reading.red} to {reading.black} ({how_words(reading)}) again: {why}"
    return Doubtful(reading, chance, healthy, words)
