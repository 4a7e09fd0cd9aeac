"""A session at the bench, screen by screen: few lines, the next probe big and clear."""

from collections.abc import Iterator, Sequence

from tracegraph.asking.benchwork.moves import Say
from tracegraph.asking.benchwork.now import Asked, Now
from tracegraph.asking.logbook.typed import Trouble
from tracegraph.diagnose.verdict import Evidence, Group, Outcome, State, Verdict
from tracegraph.meter.expected import Expected
from tracegraph.stage.caution import POWERED_READING
from tracegraph.stage.change import Add, Change, Cut, Remove
from tracegraph.stage.reading import Condition, Event, Reading
from tracegraph.stage.stage import Stage
from tracegraph.views.letters import unbroken
from tracegraph.views.next_page import SETTINGS, where_found
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
from tracegraph.views.reading_words import (
    bench_told,
    per_cent,
    sends_live,
    sentence,
    shown,
    supply_doubted,
    suspected,
)
from tracegraph.views.words import window

PROMPT = "> "
GROUPS, MEMBERS = 3, 2  # told between two probes; `l` tells the rest
LEAST = 0.01  # a group less likely than this is not told
CASES = 3
CALM = {State.HEALTHY, State.EMPTY}
KEYS = (
    ("enter", "as expected; or: the bench stands as asked"),
    ("612  4k7  ol", "what the display shows at the points asked for"),
    ("b  nb", "it beeps, it does not"),
    ("GATE COM 612", "other points, the mode as asked for; ohms R14.1 COM 4k7"),
    ("GATE COM", "the probes go there next"),
    ("lifted R14.1", "the bench from now on; also without Q13, unplugged J3"),
    ("refit R14.1", "put back; refit alone puts all back"),
    ("joined GATE COM", "joined and parted again, for the next reading"),
    ("replaced Q23", "done to the board; also removed, fitted, cut link"),
    ("u", "take back the last thing"),
    ("s", "pass over this probe, show the next best"),
    ("l", "the suspects in full; l --all: everything"),
    ("q", "quit; all is in the log already"),
)


def opening_page(
    heading: str, path: str, count: int, cautions: Sequence[str], *, new: bool
) -> Page:
    """Return the first screen.

    Args:
        heading: What the section is called.
        path: The log's file.
        count: How many readings it holds.
        cautions: What to heed before probing.
        new: Whether the log was begun just now.
    """
    held = f"{count} reading{'' if count == 1 else 's'}"
    log = f"New log: {path}" if new else f"Goes on with {path}: {held} in it."
    return (
        title(f"{heading or 'The section'}, at the bench"),
        *map(caution, cautions),
        Line(log),
        Line("Board cold. ? tells the keys, q quits.", Tone.FAINT),
    )


def question_page(unended: str) -> Page:
    """Return the question after a last line that has no end."""
    words = f"The log's last line has no line end: `{unended}`. Is it whole? y or n"
    return (GAP, Line(words, Tone.ASK))


def closing_page(path: str, count: int) -> Page:
    """Return the last words: where everything is."""
    held = f"{count} reading{'' if count == 1 else 's'}"
    return (GAP, Line(f"{held} in {path}. The same command goes on from there."))


def help_page() -> Page:
    """Return what may be typed."""
    return (GAP, Table(("type", "for"), KEYS))


def said_page(tiding: Say | Trouble) -> Page:
    """Return why nothing was done; the line typed is marked where it went wrong."""
    if isinstance(tiding, Say):
        return (Line(tiding.words, Tone.ASK),)
    return tuple(_trouble(tiding))


def _trouble(trouble: Trouble) -> Iterator[Block]:
    for one in trouble.problems:
        if one.span:
            mark = " " * (one.span.column - 1) + "=" * max(
                one.span.end - one.span.column, 1
            )
            yield Verbatim(f"{trouble.source.line(one.span.line)}\n{mark}", indent=2)
        yield Line(sentence(one.message), Tone.ASK)
        if one.hint:
            yield Line(sentence(one.hint))


def kept_page(entry: Reading | Event, number: int) -> Page:
    """Return that something is in the log."""
    if isinstance(entry, Reading):
        return (Line(f"kept, {number}: {_reading(entry)}"),)
    return (Line(f"kept: {_event(entry)}"),)


def taken_back_page(entry: Reading | Event | None) -> Page:
    """Return that something was taken back."""
    if entry is None:
        return (Line("taken back"),)
    told = _reading(entry) if isinstance(entry, Reading) else _event(entry)
    return (Line(f"taken back: {told}"),)


def bench_page(condition: Condition) -> Page:
    """Return how the bench stands; with the caution where it is live."""
    words = bench_told(condition) or "cold, everything in its place"
    told = Line(f"the bench: {words}")
    return (told,) if condition.cold else (told, caution(POWERED_READING))


def _reading(one: Reading) -> str:
    bench = bench_told(one.condition)
    where = f"{one.mode} {one.red} {one.black}"
    return f"{where}{f' ({bench})' if bench else ''}: {shown(one)}"


def _event(event: Event) -> str:
    return " ".join((str(event.deed), *event.target, *event.words))


def judged_page(verdict: Verdict, last: Reading | None) -> Page:
    """Return what the last reading said and what all say, in a few lines."""
    head = tuple(_last(verdict, last)) if last else ()
    if verdict.state is State.EMPTY:
        return head
    tone = Tone.PLAIN if verdict.state in CALM else Tone.ASK
    live = (caution(POWERED_READING),) if sends_live(verdict) else ()
    return (*head, Line(sentence(_verdict(verdict)), tone), *live, *_groups(verdict))


def _last(verdict: Verdict, last: Reading) -> Iterator[Line]:
    """Yield what the last reading says by itself."""
    left = next((one.why for one in verdict.left if _same(one.reading, last)), "")
    if left:
        yield Line(f"It does not count: {left}.", Tone.ASK)
        return
    again = next((one for one in verdict.doubtful if _same(one.reading, last)), None)
    odd = next((one for one in verdict.odd if _same(one.reading, last)), None)
    if odd:
        yield Line(f"Odd: a healthy board shows {odd.healthy}.", Tone.ASK)
    else:
        told = _evidence(verdict, last)
        words = f"As expected: a healthy board shows {told.healthy}." if told else ""
        yield Line(words or "As expected.")
    if again:
        yield Line(sentence(again.words), Tone.ASK)


def _evidence(verdict: Verdict, last: Reading) -> Evidence | None:
    told = (one for group in verdict.groups[:1] for one in group.evidence)
    return next((one for one in told if _same(one.reading, last)), None)


def _same(one: Reading, other: Reading) -> bool:
    return one._replace(source=None) == other._replace(source=None)


def _verdict(verdict: Verdict) -> str:
    """Return the verdict; what the groups below it say anyway is left to them."""
    words = {
        State.FOUND: "found",
        State.TRACING: "rather the file than the board: check that first",
        State.OPEN: "not decided yet",
    }
    if supply_doubted(verdict):
        return verdict.words
    return words.get(verdict.state, verdict.words)


def _groups(verdict: Verdict) -> Iterator[Line]:
    if verdict.state in CALM:
        return
    able = [one for one in verdict.groups if one.chance >= LEAST]
    for rank, group in enumerate(able[:GROUPS], 1):
        yield Line(_group(group), mark=f"{rank}. ", indent=2)
    if verdict.healthy >= LEAST:
        yield Line(f"{per_cent(verdict.healthy)} nothing wrong", indent=5)
    if able and able[0].check and able[0].slip >= LEAST:
        yield Line(sentence(able[0].check), Tone.ASK, 5, "without solder: ")


def _group(group: Group) -> str:
    named = "; or ".join(suspected(one) for one in group.suspects[:MEMBERS])
    more = len(group.suspects) - MEMBERS
    rest = f"; or {more} more, all the same so far" if more > 0 else ""
    return f"{per_cent(group.chance)} {named}{rest}"


def next_probe_page(now: Now) -> Page:
    """Return the reading that is asked for, or why none is."""
    words = now.advice.words
    asked = now.asked
    if asked is None:
        return (GAP, Line(sentence(words or "nothing is proposed"), Tone.ASK))
    told = asked.proposal is not None and words
    return (
        GAP,
        *((Line(sentence(words), Tone.ASK),) if told else ()),
        *(() if asked.condition.cold else (caution(POWERED_READING),)),
        *_first_the_bench(now, asked),
        *_probe(now.stage, asked),
    )


def _first_the_bench(now: Now, asked: Asked) -> Iterator[Line]:
    if not now.prepared:
        deeds = ", ".join(_deeds(now.bench, asked.condition))
        yield Line(f"{deeds}; then press enter.", Tone.ASK, mark="First: ")


def _deeds(bench: Condition, wanted: Condition) -> Iterator[str]:
    """Yield what has to be done for the bench to stand as wanted."""
    yield from (_back(one) for one in bench.changes if one not in wanted.changes)
    yield from (_off(one) for one in wanted.changes if one not in bench.changes)
    yield from (f"plug {n} in" for n in bench.unplugged if n not in wanted.unplugged)
    yield from (f"unplug {n}" for n in wanted.unplugged if n not in bench.unplugged)
    if bench.power != wanted.power:
        yield "power off, and discharge" if wanted.cold else f"power, in {wanted.power}"


def _off(change: Change) -> str:
    match change:
        case Cut(pin=pin):
            return f"lift {pin}"
        case Remove(part=ref):
            return f"take {ref} out"
        case Add(part=part):
            return f"fit {part.ref}"
        case _:
            return f"{change}"


def _back(change: Change) -> str:
    match change:
        case Cut(pin=pin):
            return f"put {pin} back"
        case Remove(part=ref):
            return f"put {ref} back"
        case Add(part=part):
            return f"take the stand-in {part.ref} off"
        case _:
            return f"undo {change}"


def _probe(stage: Stage, asked: Asked) -> Iterator[Block]:
    red, black, mode = asked.wanted
    bench = bench_told(asked.condition)
    setting = SETTINGS[mode].lower()
    points = f"{setting}   red {red}   black {black}"
    yield title(unbroken(f"{points}   ({bench})" if bench else points))
    for name in dict.fromkeys((red, black)):
        found = where_found(stage, name, asked.condition)
        if found:
            yield Line(found, Tone.FAINT, indent=2, mark=f"{name}: ")
    yield from _told(asked)


def _told(asked: Asked) -> Iterator[Line]:
    """Yield what a healthy board shows there, and what else would mean most."""
    one, proposal = asked.expected, asked.proposal
    outcomes = proposal.outcomes if proposal else ()
    good = next((each for each in outcomes if each.healthy), None)
    if one:
        yield Line(f"{healthy_words(one)} if healthy", indent=2)
        if one.early:
            yield Line(sentence(f"watch it: {one.early}"), indent=2)
    elif good:
        yield Line(f"{good.display} if healthy", indent=2)
    odd = next((each for each in outcomes if not each.healthy), None)
    if odd:
        yield Line(_meaning(odd), indent=2)
    elif proposal and not outcomes and proposal.words:
        yield Line(sentence(proposal.words), indent=2)


def _meaning(one: Outcome) -> str:
    return f"{one.display}: {one.means}, {per_cent(one.chance)}"


def healthy_words(one: Expected) -> str:
    """Return what a healthy board may show: a window, a word, or each of its cases."""
    spans = []
    for case in one.cases[:CASES]:
        span = window(case.low, case.high, one.unit)
        alone = case.display if case.open and case.display == "OL" else ""
        spans.append(alone or span or case.display)
    more = ", or more" if len(one.cases) > CASES else ""
    open_too = one.may_be_open and "OL" not in spans
    spans += ["OL"] if open_too else []
    return " or ".join(dict.fromkeys(spans)) + more
