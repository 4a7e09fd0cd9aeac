"""Two diodes in one case, and the bridge of four."""

from tracegraph.quantity import usual
from tracegraph.stage.branch import Branch
from tracegraph.stage.kind import Form, Kind, PinSpec
from tracegraph.stage.kinds.failures import (
    SPLIT,
    Way,
    every,
    failing,
    leaky,
    opened,
    shorted,
)
from tracegraph.stage.kinds.junctions import SILICON_LEAK, forward, junction, volts
from tracegraph.stage.kinds.table import RAISED, parameters, words
from tracegraph.stage.part import Part

Pairs = tuple[tuple[str, str], ...]

_A1 = PinSpec("a1", ("anode1",), "anode", "1")
_A2 = PinSpec("a2", ("anode2",), "anode", "2")
_K1 = PinSpec("k1", ("cathode1",), "cathode", "1")
_K2 = PinSpec("k2", ("cathode2",), "cathode", "2")
_ANODE = PinSpec("a", ("anode",), "common anode", "3")
_CATHODE = PinSpec("k", ("cathode",), "common cathode", "3")
_SERIES = (
    PinSpec("a", ("anode",), "outer anode", "1"),
    PinSpec("k", ("cathode",), "outer cathode", "2"),
    PinSpec("m", ("mid", "middle", "ak"), "middle", "3"),
)
_BRIDGE = (
    PinSpec("+", ("plus", "pos", "k"), "positive output"),
    PinSpec("-", ("minus", "neg", "a"), "negative output"),
    PinSpec("~1", ("ac1", "~a", "~"), "AC input"),
    PinSpec("~2", ("ac2", "~b"), "AC input"),
)
_ARRANGED: dict[str, tuple[str, tuple[PinSpec, ...], Pairs]] = {
    "commoncathode": (
        "dual diode, common cathode",
        (_A1, _A2, _CATHODE),
        (("a1", "k"), ("a2", "k")),
    ),
    "commonanode": (
        "dual diode, common anode",
        (_K1, _K2, _ANODE),
        (("a", "k1"), ("a", "k2")),
    ),
    "seriesdiodes": ("dual diode, in series", _SERIES, (("a", "m"), ("m", "k"))),
}
_WORDS = {
    "common cathode": "commoncathode",
    "common anode": "commonanode",
    "series": "seriesdiodes",
}
_SILICON = forward(
    volts(0.57, 0.45, 0.70), usual(0.10, 0.06, 0.12, "V/dec"), SILICON_LEAK
)
_METAL = forward(
    volts(0.25, 0.15, 0.35),
    usual(0.065, 0.058, 0.08, "V/dec"),
    usual(1e-5, 1e-6, 1e-4, "A"),
)
_FOUR: Pairs = (("~1", "+"), ("~2", "+"), ("-", "~1"), ("-", "~2"))


def _ways(pairs: Pairs, pins: tuple[str, ...]) -> tuple[Way, ...]:
    """Return the single diode's ways to fail, shared out over several."""
    each = 1 / len(pairs)
    return (
        *(shorted(a, k, 0.49 * each) for a, k in pairs),
        *(leaky(a, k, 0.15 * each) for a, k in pairs),
        *every(opened, 0.36, *pins),
    )


def _dual(word: str, *, metal: bool) -> Kind:
    title, pins, pairs = _ARRANGED[word]
    family = "schottky" if metal else "silicon"

    def cold(part: Part) -> tuple[Branch, ...]:
        return tuple(junction(part, a, k, family) for a, k in pairs)

    suffix = "-schottky" if metal else ""
    names = tuple(spec.name for spec in pins)
    return Kind(
        word + suffix,
        f"Schottky {title}" if metal else title,
        ("D", "CR", "VD", "V"),
        pins,
        Form.PINS,
        symbol=word,
        cold=cold,
        faults=failing(SPLIT, *_ways(pairs, names), swap=(pairs[0][0], pairs[-1][1])),
        aliases=_aliases(word, suffix),
        parameters=parameters(*(_METAL if metal else _SILICON)),
        rate=3.0,
        raised=RAISED,
        roles=("output rectifier", "clamp to both rails", "steering"),
        ratings=("V", "A"),
        variants=words(
            {
                **{text: to + suffix for text, to in _WORDS.items()},
                "schottky": f"{word}-schottky",
            }
        ),
    )


def _aliases(word: str, suffix: str) -> tuple[str, ...]:
    plain = {
        "commoncathode": ("dualdiode", "common-cathode"),
        "commonanode": ("common-anode",),
        "seriesdiodes": ("diodepair", "series-diodes"),
    }[word]
    return tuple(alias + suffix for alias in plain)


def _four(part: Part) -> tuple[Branch, ...]:
    return tuple(junction(part, a, k, "silicon") for a, k in _FOUR)


BRIDGE = Kind(
    "bridge",
    "bridge rectifier",
    ("BR", "D", "DB", "BD", "VD", "U", "V"),
    _BRIDGE,
    Form.PINS,
    symbol="bridge",
    cold=_four,
    faults=failing(SPLIT, *_ways(_FOUR, ("+", "-", "~1", "~2")), swap=("+", "-")),
    aliases=("bridgerectifier", "rectifierbridge", "graetz"),
    parameters=parameters(
        *forward(
            volts(0.53, 0.45, 0.62), usual(0.10, 0.06, 0.12, "V/dec"), SILICON_LEAK
        )
    ),
    rate=3.0,
    raised=RAISED,
    roles=("mains rectifier",),
    ratings=("V", "A"),
)

PAIRS = (
    *(_dual(word, metal=metal) for word in _ARRANGED for metal in (False, True)),
    BRIDGE,
)
