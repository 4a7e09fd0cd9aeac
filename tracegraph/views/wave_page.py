"""A wave on a page: a small plot, a scope's measures, and what they mean."""

from collections.abc import Callable, Iterator, Sequence

from tracegraph.display import show, volts
from tracegraph.views.page import (
    GAP,
    Block,
    Line,
    Page,
    Table,
    Tone,
    Verbatim,
    caution,
    title,
)
from tracegraph.views.wave_text import Marked, beside, plot
from tracegraph.views.words import bench_words
from tracegraph.waves.result import Driven, Measures, Trace, Wave
from tracegraph.waves.telling import edge_words, told
from tracegraph.waves.windows import Window, fall_window, rise_window

COLUMNS = 76
HEIGHT, SMALL = 11, 9
ASKED, HEALTHY = "*", "."
NOTHING = "-"
LIMITS = (
    "Solved without the transistors' storage time, the power device's output capacitance "
    "and the copper's inductance: real edges come a fraction of a microsecond later, and "
    "ring more."
)

Reader = Callable[[Trace], str]


def wave_page(heading: str, wave: Wave, cautions: Sequence[str] = ()) -> Page:
    """Return the page of a wave.

    Args:
        heading: What the section is called.
        wave: The wave.
        cautions: What to heed before probing; none for a harmless section.
    """
    return (
        title(heading) if heading else GAP,
        Line(standing(wave), Tone.FAINT),
        *map(caution, cautions),
        *_plots(wave),
        *_table(wave),
        *_words(wave),
    )


def standing(wave: Wave) -> str:
    """Return what switches and how the bench stands, as a sentence."""
    power, *rest = bench_words(wave.condition)
    state = () if wave.condition.cold else (f"the rest as in state {power}",)
    inputs = " and ".join(_input(one) for one in wave.inputs)
    return (
        f"{', '.join((f'{wave.net} against {wave.against}; {inputs}', *state, *rest))}."
    )


def _input(one: Driven) -> str:
    levels = f"{show(one.low, 'V')} to {show(one.high, 'V')}"
    via = show(one.via.typical or 0.0, "ohm")
    return (
        f"{one.net} switches {levels} through {via}, {show(one.hertz, 'Hz')}, "
        f"{show(one.duty, '%')}"
    )


def _plots(wave: Wave) -> Iterator[Block]:
    if not any(one.switches_here for one in _traces(wave)):
        return
    marked = [Marked(wave.asked, ASKED)]
    if wave.healthy:
        marked.insert(0, Marked(wave.healthy, HEALTHY))
    whole = Window(0.0, float(wave.asked.times[-1]))
    yield GAP
    if wave.healthy:
        yield Line(f"{ASKED} as asked, {HEALTHY} healthy", Tone.FAINT, indent=2)
    yield Verbatim("\n".join(plot(marked, whole, COLUMNS, HEIGHT)), 2)
    windows = rise_window(wave), fall_window(wave)
    half = COLUMNS // 2
    small = [plot(marked, one, half - 1, SMALL) for one in windows if one]
    if len(small) == 2:
        yield GAP
        yield Line("One rise and one fall, close up", Tone.FAINT, indent=2)
        yield Verbatim("\n".join(beside(small[0], small[1], half)), 2)


def _traces(wave: Wave) -> list[Trace]:
    return [wave.asked, *([wave.healthy] if wave.healthy else [])]


def _table(wave: Wave) -> Iterator[Block]:
    traces = _traces(wave)
    if not any(one.switches_here for one in traces):
        return
    rows = [(name, *map(read, traces)) for name, read in rows_of()]
    filled = [row for row in rows if set(row[1:]) != {NOTHING}]
    heads = ("", "as asked", "healthy") if wave.healthy else ("", wave.net)
    yield GAP
    yield Table(heads, tuple(filled))


def rows_of() -> tuple[tuple[str, Reader], ...]:
    """Return what is measured: each thing's name, and how it is read off a trace."""

    def of(unit: str, read: Callable[[Measures], float | None]) -> Reader:
        words = {"V": volts}.get(unit, lambda value: show(value, unit))
        return lambda trace: _value(read(trace.measures), words)

    return (
        ("amplitude", of("V", lambda one: one.amplitude)),
        ("top", of("V", lambda one: one.top)),
        ("base", of("V", lambda one: one.base)),
        ("maximum", of("V", lambda one: one.high)),
        ("minimum", of("V", lambda one: one.low)),
        ("frequency", of("Hz", lambda one: one.hertz)),
        ("width at 50 %", of("s", lambda one: one.width)),
        ("duty", _duty),
        ("rise 10-90 %", lambda trace: _value(trace.measures.rise, edge_words)),
        ("fall 90-10 %", lambda trace: _value(trace.measures.fall, edge_words)),
        ("overshoot", of("V", lambda one: _visible(one, one.overshoot))),
        ("negative spike", of("V", lambda one: _visible(one, one.spike))),
        ("gate charge", _coulombs),
        ("gate current in", lambda trace: _amps(trace, into=True)),
        ("gate current out", lambda trace: _amps(trace, into=False)),
        ("driver power", _driver),
    )


def _value(value: float | None, words: Callable[[float], str]) -> str:
    return NOTHING if value is None else words(value)


def _visible(one: Measures, volts: float) -> float | None:
    """Return a spike that can be seen: over half a per cent of the amplitude."""
    return volts if volts > 0.005 * one.amplitude else None


def _duty(trace: Trace) -> str:
    duty = trace.measures.duty
    return NOTHING if duty is None else f"{100 * duty:.3g} %"


def _coulombs(trace: Trace) -> str:
    return f"{trace.gate.charge * 1e9:.3g} nC" if trace.gate else NOTHING


def _amps(trace: Trace, *, into: bool) -> str:
    if not trace.gate:
        return NOTHING
    return f"{show(trace.gate.into if into else trace.gate.out, 'A')} peak"


def _driver(trace: Trace) -> str:
    return show(trace.gate.watts, "W") if trace.gate else NOTHING


def _words(wave: Wave) -> Iterator[Block]:
    said = told(wave)
    if said:
        yield GAP
    for one in said:
        yield Line(f"{one}.", mark="- ")
    for one in wave.doubts:
        yield Line(f"{one}" if one.endswith("?") else f"{one}.", Tone.ASK, mark="- ")
    for one in wave.taken:
        yield Line(f"{one[:1].upper()}{one[1:]}.", Tone.FAINT, mark="- ")
    if wave.asked.switches_here:
        yield Line(LIMITS, Tone.FAINT, mark="- ")
