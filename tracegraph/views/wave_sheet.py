"""A wave as a sheet: the whole of it, and under it one rise and one fall close up."""

from collections.abc import Iterator, Sequence
from math import ceil, floor, log10

from tracegraph.display import show
from tracegraph.draw.drawing import Drawing, Sheet
from tracegraph.draw.shapes import Anchor, Box, Point, Shape, Stroke, Text, Tone
from tracegraph.draw.text import cut
from tracegraph.views.picture import WRITERS
from tracegraph.views.wave_page import standing
from tracegraph.waves.result import Trace, Wave
from tracegraph.waves.telling import edge_words
from tracegraph.waves.windows import Window, column_spans, fall_window, rise_window

WIDTH, HEIGHT = 100.0, 68.0
WHOLE = Box(9.0, 9.5, 97.0, 33.0)
RISE, FALL = Box(9.0, 42.0, 48.5, 62.0), Box(57.5, 42.0, 97.0, 62.0)
TICKS = 6  # at most, along an axis
ROOM = 0.06  # of the volts' span, above and below
LINE, GRID, EDGE = 0.22, 0.05, 0.1  # widths
ASKED, HEALTHY = Tone.SUSPECT, Tone.LEVEL
STEPS = (1.0, 2.0, 5.0, 10.0)
DENSE = 12  # columns of a trace in one unit


def wave_pictures(heading: str, wave: Wave, ending: str) -> Sequence[bytes]:
    """Return a wave's picture as files of an ending: `.svg`, `.png`, `.pdf`.

    Raises:
        NoPngError: This machine has no renderer for a PNG.
    """
    sheet = wave_sheet(heading, wave)
    return WRITERS[ending](Drawing(sheet.title.text, (sheet,)), False)  # noqa: FBT003


def wave_sheet(heading: str, wave: Wave) -> Sheet:
    """Return the picture of a wave."""
    name = heading or wave.net
    short = cut(name, WIDTH - 6.0, 1.6, bold=True)
    title = Text((3.0, 2.5), short, 1.6, bold=True, full=f"{name}: {standing(wave)}")
    return Sheet(
        *(1, title, WIDTH, HEIGHT, (), (), (), ()),
        legend=tuple(_shapes(wave)),
        told=f"Volts over time: {standing(wave)}",
    )


def _shapes(wave: Wave) -> Iterator[Shape]:
    words = cut(standing(wave), WIDTH - 6.0, 1.1)
    yield Text((3.0, 5.0), words, 1.1, tone=Tone.FAINT)
    yield from _key(wave)
    traces = _traces(wave)
    whole = Window(0.0, float(wave.asked.times[-1]))
    yield from _panel(WHOLE, whole, traces, wave)
    for box, window, name in (
        (RISE, rise_window(wave), "rise"),
        (FALL, fall_window(wave), "fall"),
    ):
        if window:
            yield Text((box.left, box.top - 1.6), _named(wave, name), 1.1, bold=True)
            yield from _panel(box, window, traces, wave)


def _traces(wave: Wave) -> list[tuple[Trace, Tone, bool]]:
    """Return the traces with their tones, the healthy one dashed and undermost."""
    if wave.healthy is None:
        return [(wave.asked, HEALTHY, False)]
    return [(wave.healthy, HEALTHY, True), (wave.asked, ASKED, False)]


def _key(wave: Wave) -> Iterator[Shape]:
    """Yield which line is which."""
    if wave.healthy is None:
        return
    for left, words, tone, dashed in (
        (70.0, "healthy", HEALTHY, True),
        (83.0, "as asked", ASKED, False),
    ):
        yield Stroke(((left, 7.6), (left + 4, 7.6)), LINE, tone=tone, dashed=dashed)
        yield Text((left + 5, 7.6), words, 1.1, tone=tone)


def _named(wave: Wave, name: str) -> str:
    """Return the name of an edge with how long it takes."""

    def long(trace: Trace) -> str:
        seconds = getattr(trace.measures, name)
        return edge_words(seconds) if seconds else "none"

    healthy = f", healthy {long(wave.healthy)}" if wave.healthy else ""
    return f"One {name}: {long(wave.asked)} from 10 to 90 %{healthy}"


def _panel(
    box: Box, window: Window, traces: Sequence[tuple[Trace, Tone, bool]], wave: Wave
) -> Iterator[Shape]:
    low = min(float(one.volts.min()) for one, _, _ in traces)
    high = max(float(one.volts.max()) for one, _, _ in traces)
    room = ROOM * ((high - low) or 1.0)
    frame = _Frame(box, window, low - room, high + room)
    yield from frame.grid(f"{wave.net} against {wave.against}")
    for trace, tone, dashed in traces:
        yield Stroke(frame.track(trace), LINE, tone=tone, dashed=dashed)


class _Frame:
    """A panel: where times and volts come to lie."""

    def __init__(self, box: Box, window: Window, low: float, high: float) -> None:
        self.box, self.window, self.low, self.high = box, window, low, high

    def place(self, time: float, volts: float) -> Point:
        box, (begin, end) = self.box, self.window
        across = (time - begin) / (end - begin)
        up = (volts - self.low) / (self.high - self.low)
        return (
            box.left + across * (box.right - box.left),
            box.bottom - up * (box.bottom - box.top),
        )

    def track(self, trace: Trace) -> tuple[Point, ...]:
        """Return the line of a trace, each column's least and greatest in it."""
        begin, end = self.window
        count = int((self.box.right - self.box.left) * DENSE)
        low, high = column_spans(trace, begin, end, count)
        step, points = (end - begin) / count, list[Point]()
        last = float(low[0])
        for column in range(count):
            under, over = float(low[column]), float(high[column])
            time = begin + (column + 0.5) * step
            # on from where the last column ended: up it goes from below, down from above
            near = under if abs(under - last) <= abs(over - last) else over
            points.append(self.place(time, near))
            last = over if near == under else under
            if over - under > 1e-3 * (self.high - self.low):
                points.append(self.place(time, last))
        return _thinned(points)

    def grid(self, name: str) -> Iterator[Shape]:
        """Yield lines, axes and their numbers."""
        box = self.box
        for volts in ticks(self.low, self.high):
            left, right = self.place(self.window.begin, volts), (box.right, 0.0)
            yield Stroke((left, (right[0], left[1])), GRID, tone=Tone.FAINT)
            at = (box.left - 0.8, left[1])
            text = _marked(volts, "V")
            yield Text(at, text, 1.0, anchor=Anchor.END, tone=Tone.FAINT)
        for time in ticks(self.window.begin, self.window.end):
            x = self.place(time, self.low)[0]
            yield Stroke(((x, box.top), (x, box.bottom)), GRID, tone=Tone.FAINT)
            text = _marked(time, "s")
            at = (x, box.bottom + 1.4)
            yield Text(at, text, 1.0, anchor=Anchor.MIDDLE, tone=Tone.FAINT)
        corners = (
            (box.left, box.top),
            (box.right, box.top),
            (box.right, box.bottom),
            (box.left, box.bottom),
        )
        yield Stroke(corners, EDGE, closed=True, tone=Tone.FAINT)
        below = (box.left, box.bottom + 3.2)
        yield Text(below, f"{name}, volts over time", 1.0, tone=Tone.FAINT)


def ticks(low: float, high: float) -> list[float]:
    """Return round numbers between two, six at most.

    >>> ticks(-0.8, 15.2)
    [0.0, 5.0, 10.0, 15.0]
    """
    raw = (high - low) / TICKS
    scale = 10.0 ** floor(log10(raw))
    step = next(scale * one for one in STEPS if scale * one >= raw * (1 - 1e-9))
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return [round(k * step, 15) for k in range(first, last + 1)]


def _marked(value: float, unit: str) -> str:
    return f"0 {unit}" if value == 0 else show(value, unit, 5)


def _thinned(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return a line without the points on its level stretches."""
    kept = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        if not before[1] == here[1] == after[1]:
            kept.append(here)
    return (*kept, points[-1])
