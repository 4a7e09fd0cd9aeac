"""Words of a diagnosis that several views share: a reading, a chance, a sentence."""

from math import floor, log10

from tracegraph.diagnose.verdict import Sort, Suspect, Verdict
from tracegraph.display import show
from tracegraph.stage.reading import UNITS, Condition, Mode, Reading, Shown
from tracegraph.views.expected_page import MODES
from tracegraph.views.words import bench_words, window

# Steps as in the guidance note on uncertainty of the IPCC (Mastrandrea et al. 2010;
# from memory), the words plainer.
LIKELY = (
    (0.99, "as good as certain"),
    (0.90, "very likely"),
    (0.66, "likely"),
    (0.33, "as likely as not"),
    (0.10, "possible"),
    (0.0, "unlikely"),
)


def likely(chance: float) -> str:
    """Return a chance in plain words.

    >>> likely(0.94), likely(0.5), likely(0.02)
    ('very likely', 'as likely as not', 'unlikely')
    """
    return next(words for least, words in LIKELY if chance >= least or not least)


def per_cent(chance: float) -> str:
    """Return a chance in whole per cent; what is not certain is never told as such.

    >>> per_cent(0.944), per_cent(0.9999), per_cent(0.001), per_cent(0.0)
    ('94 %', 'over 99 %', 'under 1 %', '0 %')
    """
    if 0.0 < chance < 0.01:
        return "under 1 %"
    if 0.99 < chance < 1.0:
        return "over 99 %"
    return f"{chance * 100:.0f} %"


def shown(reading: Reading) -> str:
    """Return what stood on the display, with the digits that it had.

    >>> shown(Reading("A", "B", Mode.DIODE, 0.67, resolution=0.001))
    '0.67 V'
    >>> shown(Reading("A", "B", Mode.OHMS, Shown.CLIMBS, rate=2100.0))
    'climbs 2.1 k a second'
    """
    if reading.shown is Shown.CLIMBS and reading.rate is not None:
        return f"climbs {show(reading.rate, 'ohm')} a second"
    if isinstance(reading.shown, Shown):
        return str(reading.shown)
    unit = UNITS[reading.mode] or "ohm"
    text = show(reading.shown, unit, _digits(reading.shown, reading.resolution))
    return f"over {text}" if reading.at_least else text


def _digits(value: float, step: float) -> int:
    """Return how many digits a display had, 3 to 6."""
    if not (value and step):
        return 3
    return min(max(floor(log10(abs(value))) - round(log10(step)) + 1, 3), 6)


def pair(red: str, black: str, mode: Mode) -> str:
    """Return where the probes are and what the meter is set to."""
    return f"red {red}, black {black}, {MODES[mode]}"


def told(reading: Reading) -> str:
    """Return a reading as it was taken: `red GATE, black COM, diode: 0.67 V`."""
    bench = bench_told(reading.condition)
    where = pair(reading.red, reading.black, reading.mode)
    return f"{where}{f' ({bench})' if bench else ''}: {shown(reading)}"


def bench_told(condition: Condition) -> str:
    """Return what is special of the bench, nothing for a cold board as it lies."""
    power, *words = bench_words(condition)
    return ", ".join([*words, *(() if condition.cold else (f"powered, in {power}",))])


def supply_doubted(verdict: Verdict) -> bool:
    """Return whether a supply is to be looked at before any part."""
    top = verdict.groups[0].suspects if verdict.groups else ()
    return bool(verdict.supply) or any(one.sort is Sort.SUPPLY for one in top)


def sends_live(verdict: Verdict) -> bool:
    """Return whether a verdict sends a person back to the live board."""
    again = (one.reading.condition for one in verdict.doubtful)
    return supply_doubted(verdict) or any(not one.cold for one in again)


def suspected(one: Suspect) -> str:
    """Return a suspect with the range of its value, where it has one."""
    span = window(one.low, one.high, one.unit)
    return f"{one.words} ({span})" if " to " in span else one.words


def sentence(words: str) -> str:
    """Return words as a sentence; a name at the start keeps its own letters.

    >>> sentence("re-take it: probes swapped?"), sentence("beep N1 to U3.6")
    ('Re-take it: probes swapped?', 'Beep N1 to U3.6.')
    """
    first, *rest = words.split(" ", 1)
    plain = first.replace("-", "").rstrip(",:")
    start = first.capitalize() if plain.isalpha() and first.islower() else first
    return closed(" ".join([start, *rest]))


def closed(words: str) -> str:
    """Return words with their stop; a question keeps its mark."""
    return words if words.endswith((".", "?", "!")) else f"{words}."
