"""Where to probe next: the two points, the bench, and what each display would mean."""

from collections.abc import Iterator, Sequence

from tracegraph.diagnose.verdict import Advice, Outcome, Proposal
from tracegraph.stage.caution import POWERED_READING
from tracegraph.stage.change import Cut
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage
from tracegraph.views.page import GAP, Block, Line, Page, Table, Tone, caution, title
from tracegraph.views.reading_words import bench_told, per_cent, sentence

PINS = 6  # named of a net
OTHERS = 3  # second choices
HEAD = ("it shows", "chance", "it means")

SETTINGS = {
    Mode.OHMS: "Ohms",
    Mode.DIODE: "Diode test",
    Mode.BEEP: "Beep",
    Mode.CAP: "Capacitance",
    Mode.VOLTS: "Volts",
}


def next_page(stage: Stage, advice: Advice, cautions: Sequence[str] = ()) -> Page:
    """Return the reading to take next, and what it would tell.

    Args:
        stage: The section, for the pins of its nets.
        advice: What to do.
        cautions: What to heed before probing.
    """
    heading = title(f"{stage.title or 'The section'}, where to probe next")
    head = (heading, *map(caution, cautions))
    if not advice.proposals:
        return (*head, Line(sentence(advice.words), Tone.ASK))
    first, *others = advice.proposals[: 1 + OTHERS]
    if not all(one.condition.cold for one in (first, *others)):
        head = (*head, caution(POWERED_READING))
    said = (Line(sentence(advice.words)),) if advice.words else ()
    return (*head, *said, *_proposal(stage, first), *_others(others))


def probe_words(one: Proposal) -> str:
    """Return a proposal in a line: `diode test: red on GATE, black on COM`."""
    red, black, mode = one.probe
    bench = bench_told(one.condition)
    points = f"{SETTINGS[mode]}: red on {red}, black on {black}"
    return f"{points}, {bench}" if bench else points


def _proposal(stage: Stage, one: Proposal) -> Iterator[Block]:
    yield GAP
    yield title(probe_words(one))
    for name in (one.probe.red, one.probe.black):
        found = where_found(stage, name, one.condition)
        if found:
            yield Line(found, Tone.FAINT, indent=2, mark=f"{name}: ")
    if one.words:
        yield Line(sentence(one.words))
    yield GAP
    yield Table(HEAD, tuple(_row(outcome) for outcome in one.outcomes))


def _row(one: Outcome) -> tuple[str, ...]:
    means = one.means
    if one.healthy and not means.lower().startswith("healthy"):
        means = f"healthy: {means}" if means else "healthy"
    return one.display, per_cent(one.chance), means


def where_found(stage: Stage, name: str, condition: Condition) -> str:
    """Return where a point is found on the board: the pins of its net."""
    lifted = {change.pin for change in condition.changes if isinstance(change, Cut)}
    own, net = stage.pin(name), stage.net(name)
    if net is None or own in lifted:
        return "the lifted leg itself" if own in lifted else ""
    pins = [pin for pin in stage.nets[net] if pin not in lifted and pin != own]
    others = _pins(stage, pins)
    if own:
        return f"on {net}" + (f", with {others}" if others else "")
    return others


def _pins(stage: Stage, pins: Sequence[Pin]) -> str:
    names = [_pin(stage, pin) for pin in pins[:PINS]]
    rest = len(pins) - len(names)
    return ", ".join(names) + (f" and {rest} more" if rest else "")


def _pin(stage: Stage, pin: Pin) -> str:
    """Return a pin's name; a part with a single pin needs only its own."""
    part = stage.part(pin.part)
    return pin.part if part and len(part.pins) == 1 else str(pin)


def _others(others: Sequence[Proposal]) -> Iterator[Line]:
    if others:
        yield GAP
        yield title("Nearly as good")
        for one in others:
            why = f": {one.words.rstrip('.')}" if one.words else ""
            words = f"{probe_words(one)}{why}"
            yield Line(f"{words[:1].lower()}{words[1:]}", mark="- ")
