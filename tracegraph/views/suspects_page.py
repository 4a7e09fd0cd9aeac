"""Which part it is, as a good colleague tells it: the verdict first, then why."""

from collections.abc import Iterator, Sequence
from itertools import islice

from tracegraph.diagnose.verdict import Evidence, Group, Sort, State, Suspect, Verdict
from tracegraph.stage.caution import POWERED_READING
from tracegraph.views.page import (
    GAP,
    Block,
    Line,
    Page,
    Tone,
    Verbatim,
    caution,
    title,
)
from tracegraph.views.reading_words import (
    closed,
    likely,
    per_cent,
    sends_live,
    sentence,
    suspected,
    told,
)
from tracegraph.views.words import standing

GROUPS, MEMBERS = 4, 5  # told one by one; the rest is counted
FOR, AGAINST = 3, 2  # readings that are told of a group
LEAST = 0.01  # a group less likely than this is only counted
TELLING = 0.5  # natural logarithm: a reading that says less is passed over
NAMES = 24  # parts listed by name
UNDECIDED = {State.OPEN, State.UNEXPLAINED}

# How readings are written, shown to those who have none yet.
FIRST = """\
readings "as it came in"
  diode  GATE COM  0.67
  ohms   COM  GATE 22k"""


def suspects_page(
    heading: str,
    verdict: Verdict,
    cautions: Sequence[str] = (),
    *,
    every: bool = False,
) -> Page:
    """Return a diagnosis.

    Args:
        heading: What the section is called.
        verdict: The diagnosis.
        cautions: What to heed before probing.
        every: Whether everything is told that is counted only otherwise.
    """
    return (
        title(f"{heading}, by its readings"),
        Line(sentence(verdict.words), _tone(verdict)),
        Line(_sum(verdict), Tone.FAINT),
        *map(caution, cautions),
        *((caution(POWERED_READING),) if sends_live(verdict) else ()),
        *(_first() if verdict.state is State.EMPTY else ()),
        *_groups(verdict, every=every),
        *_odd(verdict, every=every),
        *_doubtful(verdict),
        *_listed("Odd at sight, but as it should be", verdict.lawful),
        *_untested(verdict, every=every),
        *_unseen(verdict, every=every),
        *_left(verdict),
        *_onward(verdict),
    )


def _tone(verdict: Verdict) -> Tone:
    calm = verdict.state in {State.HEALTHY, State.EMPTY}
    return Tone.PLAIN if calm else Tone.ASK


def _sum(verdict: Verdict) -> str:
    """Return how much was read, and how the bench stands."""
    bench = standing(verdict.condition, verdict.meter)
    if not verdict.readings:
        return bench
    odd = f"{len(verdict.odd)} of them odd" if verdict.odd else "none of them odd"
    live = sum(not one.condition.cold for one in verdict.readings)
    if live:
        bench = f"{live} taken under power, meter {verdict.meter}."
    return f"{_counted(len(verdict.readings), 'reading')}, {odd}. {bench}"


def _counted(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def _first() -> Iterator[Block]:
    """Yield what to do where there is no reading yet."""
    yield GAP
    yield Line("The first probe to set: tracegraph next FILE")
    yield Line("What it shows goes into FILE, or into a log beside it, like this:")
    yield Verbatim(FIRST, indent=4)


def _groups(verdict: Verdict, *, every: bool) -> Iterator[Line]:
    if verdict.state is State.EMPTY and not every:
        return
    able = [one for one in verdict.groups if one.chance >= LEAST]
    told_ones = verdict.groups if every else able[:GROUPS]
    for rank, group in enumerate(told_ones, 1):
        yield GAP
        yield from _group(rank, group, every=every)
    rest = verdict.groups[len(told_ones) :]
    if rest:
        share = per_cent(sum(one.chance for one in rest))
        yield GAP
        yield Line(
            f"And {_counted(len(rest), 'group')} more, {share} in all: --all tells them.",
            Tone.FAINT,
        )


def _group(rank: int, group: Group, *, every: bool) -> Iterator[Line]:
    chance = f"{likely(group.chance)}, {per_cent(group.chance)}"
    if len(group.suspects) == 1 and not every:
        yield Line(
            f"{_member(group.suspects[0])}: {chance}", Tone.TITLE, 0, f"{rank}. "
        )
    else:
        many = len(group.suspects) > 1
        same = ": one of these, the same at the points taken so far" if many else ""
        yield Line(
            f"{chance[:1].upper()}{chance[1:]}{same}", Tone.TITLE, 0, f"{rank}. "
        )
        yield from _members(group, every=every)
    yield from _evidence(group.evidence, every=every)
    yield from _deeds(group)


def _members(group: Group, *, every: bool) -> Iterator[Line]:
    few = None if every else MEMBERS
    for one in islice(group.suspects, few):
        words = _member(one)
        if every:
            words += (
                f"; {_small(one.prior)} before any reading, {_small(one.chance)} now"
            )
        yield Line(words, indent=3, mark="- ")
    rest = len(group.suspects) - MEMBERS
    if rest > 0 and not every:
        yield Line(f"and {rest} more: --all tells them", indent=3, mark="- ")


def _member(one: Suspect) -> str:
    """Return a suspect; that a slip is one is said where its words don't."""
    silent = one.sort is Sort.SLIP and "file" not in one.words
    return f"{suspected(one)}{' (the file, not the board)' if silent else ''}"


def _small(chance: float) -> str:
    """Return a chance to two digits."""
    return f"{chance * 100:.2g} %"


def _evidence(evidence: Sequence[Evidence], *, every: bool) -> Iterator[Line]:
    """Yield what speaks for a group and against it, the most telling first."""
    ordered = sorted(evidence, key=lambda one: -abs(one.weight))
    sides = (
        ("For it", [one for one in ordered if one.weight > TELLING], FOR),
        ("Against it", [one for one in ordered if one.weight < -TELLING], AGAINST),
    )
    for head, some, few in sides:
        shown = some if every else some[:few]
        for one in shown:
            yield Line(closed(one.words), indent=3, mark=f"{head}: ")
        rest = len(some) - len(shown)
        if rest:
            words = f"and {_counted(rest, 'more reading')}"
            yield Line(words, Tone.FAINT, indent=3, mark=f"{head}: ")


def _deeds(group: Group) -> Iterator[Line]:
    """Yield what to do before anything is condemned."""
    if group.slip >= 0.5:
        yield Line(
            "Check the tracing before any part is condemned.", Tone.ASK, indent=3
        )
    elif group.slip >= LEAST:
        yield Line(
            f"It may be the tracing, too ({per_cent(group.slip)} of this group).",
            indent=3,
        )
    if group.check:
        yield Line(closed(group.check), Tone.ASK, 3, "Without solder: ")
    if group.lift:
        lift = group.lift.removeprefix("lift ")
        yield Line(
            f"lift {lift.rstrip('.')}.", Tone.ASK, 3, "Nothing in place parts them: "
        )


def _odd(verdict: Verdict, *, every: bool) -> Iterator[Line]:
    """Yield the readings that ask for a cause, where no group carries them yet."""
    if not (every or verdict.state in UNDECIDED):
        return
    yield from _listed(
        "Odd readings",
        [f"{told(one.reading)}; {one.healthy} if healthy" for one in verdict.odd],
    )
    sets = verdict.conflicts if every else verdict.conflicts[:FOR]
    yield from _listed(
        "Not all of these can be healthy", [_names(sorted(one)) for one in sets]
    )


def _doubtful(verdict: Verdict) -> Iterator[Line]:
    yield from _listed(
        "To be read again",
        [
            f"{told(one.reading)}; {one.healthy} if healthy. {sentence(one.words)}"
            for one in verdict.doubtful
        ],
    )


def _listed(head: str, texts: Sequence[str]) -> Iterator[Line]:
    if texts:
        yield GAP
        yield title(head)
        yield from (Line(closed(text), mark="- ") for text in texts)


def _untested(verdict: Verdict, *, every: bool) -> Iterator[Line]:
    if verdict.untested and verdict.state is not State.EMPTY:
        yield GAP
        yield title("Not tested by these readings")
        few = None if every else NAMES
        yield Line(f"{_names(verdict.untested, few)}.")


def _names(refs: Sequence[str], few: int | None = None) -> str:
    rest = len(refs) - few if few and len(refs) > few else 0
    named = ", ".join(refs[:few])
    return f"{named} and {rest} more" if rest else named


def _unseen(verdict: Verdict, *, every: bool) -> Iterator[Line]:
    if not verdict.unseen:
        return
    if every:
        yield from _listed("No reading in place can show", verdict.unseen)
        return
    faults = _counted(len(verdict.unseen), "fault")
    yield GAP
    yield Line(f"No reading in place can show {faults}: --all names them.", Tone.FAINT)


def _left(verdict: Verdict) -> Iterator[Line]:
    yield from _listed(
        "Left out", [f"{told(one.reading)}: {one.why}" for one in verdict.left]
    )


def _onward(verdict: Verdict) -> Iterator[Line]:
    if verdict.state in {State.OPEN, State.UNEXPLAINED, State.TRACING}:
        yield GAP
        yield Line("Where to probe next: tracegraph next FILE", Tone.FAINT)
