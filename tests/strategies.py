"""Hypothesis strategies for sections: as the text a technician types, and as a Stage."""

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

NETS = ("COM", "P12", "+15", "-8", "HV+", "GATE", "DRV", "B1", "N1", "3.3V", "SW")
_HEAD = (
    "ground COM",
    "rail P12 12V",
    "rail +15 15V 2%",
    "rail -8 -8V",
    "rest P12 -- COM 1k8",
    "input DRV 0V / 5V via 220R 18kHz 45%",
)
nets = st.sampled_from(NETS)
steps = st.sampled_from(("1", "1.5", "2.2", "3.3", "4.7", "6.8"))  # IEC 60063, E6
ohms = st.builds("{}{}".format, steps, st.sampled_from(("R", "k", "M")))
farads = st.builds("{}{}".format, steps, st.sampled_from(("p", "n", "u")))
tolerances = st.sampled_from(("", " 1%", " 5%", " 10%"))
statuses = st.sampled_from(("", "", "", " absent", " removed", " burnt"))


def _both(text: str, *parts: SearchStrategy[str]) -> SearchStrategy[str]:
    return st.builds(text.format, *parts)


PARTS: dict[str, SearchStrategy[str]] = {
    "R": st.one_of(
        _both("{}{}{} {} -- {}", ohms, tolerances, statuses, nets, nets),
        _both("? {} -- {}", nets, nets),
        _both("about {} {} -- {}", ohms, nets, nets),
        _both('marked "{}" {} -- {}', st.sampled_from(("472", "R47")), nets, nets),
    ),
    "C": st.one_of(
        _both("{} {} -- {}", farads, nets, nets),
        _both("{}/25V {} -> {}", farads, nets, nets),
    ),
    "D": st.one_of(
        _both("{} -> {}", nets, nets),
        _both("diode {} -- {}", nets, nets),
        _both("diode vf=0.62V@1mA slope=60mV {} -> {}", nets, nets),
        _both("zener 15V {} -> {}", nets, nets),
        _both("tvs 18V {} -- {}", nets, nets),
        _both("tvs 18V {} -> {}", nets, nets),
        _both('schottky "BAT" {} -> {}', nets, nets),
    ),
    "Q": st.one_of(
        _both("npn b={} c={} e={} hfe=200", nets, nets, nets),
        _both("pnp ? 1={} 2={} 3={}", nets, nets, nets),
        _both("npn b={} c={}", nets, nets),
        _both("nfet g={} d={} s={} vgsth=3V rating 600V 20A", nets, nets, nets),
        _both("igbt no diode g={} c={} e={}", nets, nets, nets),
        _both("igbt 1={} 2={} 3={}", nets, nets, nets),
    ),
    "U": _both(
        "comparator out/1={} in-/2={} in+/3={} gnd/4=COM vcc/8=+15", *[nets] * 3
    ),
    "J": _both("connector 1={} 2={}", nets, nets),
    "K": _both("relay 270R a1={} a2={} com={} no={}", *[nets] * 4),
}
"""What may follow a designator, by its letter."""


@st.composite
def part_lines(draw: DrawFn, most: int = 8) -> list[str]:
    """Return part lines, some of whose nets are pins of parts before."""
    lines: list[str] = []
    pins: list[str] = []
    for number in range(draw(st.integers(1, most))):
        letter = draw(st.sampled_from(sorted(PARTS)))
        text = draw(PARTS[letter])
        if letter == "R" and pins and draw(st.booleans()):
            text = f"{draw(ohms)} {draw(st.sampled_from(pins))} -- {draw(nets)}"
        lines.append(f"{letter}{number + 1} {text}")
        if letter in "RCDJ":
            pins += [f"{letter}{number + 1}.1", f"{letter}{number + 1}.2"]
    return lines


@st.composite
def chains(draw: DrawFn, first: int = 50) -> str:
    """Return a chain of resistors whose nets between stay unnamed."""
    count = draw(st.integers(1, 4))
    parts = [f"R{first + index} {draw(ohms)}" for index in range(count)]
    return " -- ".join((f"chain {draw(nets)}", *parts, draw(nets)))


@st.composite
def section_texts(draw: DrawFn, most: int = 8) -> str:
    """Return the text of a section: rails, parts, a chain, links, marks, a note."""
    lines = [*_HEAD, *draw(part_lines(most))]
    extras = st.sampled_from(
        (
            "not traced GATE",
            "nothing on DRV",
            "link GATE SW ?",
            "bridge N1 B1 12R",
            "state run DRV=high P12=11V",
            'note "corner was wet"',
        )
    )
    lines += draw(st.lists(extras, unique=True, max_size=4))
    lines += [draw(chains())] if draw(st.booleans()) else []
    return "\n".join(lines) + "\n"


def stages(most: int = 8) -> SearchStrategy[Stage]:
    """Return sections as they are read from their text."""
    return section_texts(most).map(lambda text: read(from_text("drawn.trace", text)))
