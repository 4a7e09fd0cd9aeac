"""A session at the bench carried out: kept first, then weighed, then the next probe."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from tracegraph.asking.benchwork.ahead import Ahead
from tracegraph.asking.benchwork.healthy import healthy_reading
from tracegraph.asking.benchwork.moves import Keep, Order, Point, Say, Stand, move_of
from tracegraph.asking.benchwork.now import (
    Asked,
    Now,
    last_entry,
    taken_back,
    with_bench,
    with_entry,
)
from tracegraph.asking.logbook.book import Logbook, LogbookError
from tracegraph.asking.logbook.standing import after_event, lasting
from tracegraph.asking.logbook.typed import Trouble, Wanted
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Verdict
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import UnknownValueError
from tracegraph.stage.checks.readings import contradictions
from tracegraph.stage.reading import AS_IT_LIES, Condition, Event, Reading
from tracegraph.stage.stage import Stage

OTHERS = (
    "Somebody else has written in this log since: their readings count only once this "
    "session is begun again, and what stands before cannot be taken back here."
)

DIFFERS = "Was the meter in this mode? u takes the last one back."


class Kept(NamedTuple):
    """A reading or event is in the log, on the disk."""

    entry: Reading | Event
    number: int


class TakenBack(NamedTuple):
    """The last thing done is taken back: an entry, or how the bench stood."""

    entry: Reading | Event | None


class Stands(NamedTuple):
    """The bench stands like this now."""

    condition: Condition


class Judged(NamedTuple):
    """What all readings say, and which of them was the last."""

    verdict: Verdict
    last: Reading | None


class Next(NamedTuple):
    """What is to be read next, or why nothing is."""

    now: Now


class Help(NamedTuple):
    """The keys are to be shown."""


class Listed(NamedTuple):
    """The suspects are to be shown in full, or all that is counted otherwise, too."""

    verdict: Verdict
    every: bool


class Over(NamedTuple):
    """The session ends."""


Tiding = (
    Kept | TakenBack | Stands | Judged | Next | Help | Listed | Over | Say | Trouble
)


class Session:
    """A session at the bench.

    Attributes:
        now: How it stands.
    """

    def __init__(self, book: Logbook, stage: Stage, own: int, inquiry: Inquiry) -> None:
        """Take up a log where it was left.

        Args:
            book: The log, open.
            stage: The section with the log's readings.
            own: How many entries of its log are of the section's own file.
            inquiry: What weighs the readings.
        """
        self.now = Now(stage, own, bench=book.condition, unended=book.unended)
        self._book, self._inquiry = book, inquiry
        self._ahead = Ahead(inquiry)
        self._warned = False

    @property
    def profile(self) -> Profile:
        """The meter."""
        return self._inquiry.profile

    def idle(self) -> None:
        """Work ahead while the person sets the probes; call it before every line."""
        self._ahead.begin(self.now)

    def close(self) -> None:
        """Leave nothing at work behind; the log is closed by whoever opened it."""
        self._ahead.rest()

    def begun(self) -> Iterator[Tiding]:
        """Yield what the log says so far, and the first probe."""
        if not self.now.unended:
            yield from self._weighed(None)

    def take(self, line: str, *, early: bool = False) -> Iterator[Tiding]:
        """Carry out a typed line; yield what became of it, as soon as it is known.

        Args:
            line: The line.
            early: Whether it was typed before what is asked for could be read.
        """
        move = move_of(self.now, line, early=early)
        try:
            match move:
                case Keep(entry=entry):
                    yield from self._keep(entry)
                case Stand(condition=condition):
                    yield from self._stand(condition)
                case Point(wanted=wanted):
                    yield from self._point(wanted)
                case Order():
                    yield from self._order(move)
                case Say() | Trouble():
                    yield move
        except LogbookError as fault:
            yield Say(f"{str(fault)[:1].upper()}{str(fault)[1:]}.")
        if self._book.others and not self._warned:
            self._warned = True
            yield Say(OTHERS)

    def _order(self, order: Order) -> Iterator[Tiding]:
        match order:
            case Order.BACK:
                yield from self._back()
            case Order.SKIP:
                yield from self._skip()
            case Order.HELP:
                yield Help()
            case Order.LIST | Order.EVERY:
                self._ahead.rest()
                verdict = self._inquiry.verdict(self.now.stage)
                yield Listed(verdict, order is Order.EVERY)
            case Order.LEAVE:
                yield Over()
            case Order.WHOLE:
                self.now = self.now._replace(unended="")
                yield from self._weighed(None)
            case Order.TORN:
                self.now = self.now._replace(unended="")
                yield from self._back()

    def _keep(self, entry: Reading | Event) -> Iterator[Tiding]:
        kept = self._book.add(entry)
        if isinstance(kept, Event):
            bench = after_event(self.now.stage, self.now.bench, kept)
            self.now = with_entry(self.now, kept, bench)
            if bench != AS_IT_LIES:
                self._book.stands(bench)
        else:
            self.now = with_entry(self.now, kept, lasting(self.now.bench))
        yield Kept(kept, self.now.taken)
        yield from self._differing(kept)
        yield from self._weighed(kept if isinstance(kept, Reading) else None)

    def _differing(self, entry: Reading | Event) -> Iterator[Say]:
        """Yield that a reading contradicts one before it, if it does."""
        for clash in contradictions(self.now.stage):
            if clash.second is entry:
                yield Say(f"{clash.message} {DIFFERS}")

    def _stand(self, condition: Condition) -> Iterator[Tiding]:
        self._book.stands(condition)
        self.now = with_bench(self.now, condition)
        yield Stands(condition)
        asked = self.now.asked
        if asked and asked.proposal is None:
            yield from self._point(asked.wanted)
        elif asked:
            yield Next(self.now)

    def _back(self) -> Iterator[Tiding]:
        past = self.now.past[-1] if self.now.past else None
        entry = last_entry(self.now) if past is None or past.logged else None
        if (past is None or past.logged) and not self._book.undo():
            yield Say("There is nothing to take back.")
            return
        self.now = taken_back(self.now)
        if past and (not past.logged or isinstance(entry, Event)):
            self._book.stands(self.now.bench)
        yield TakenBack(entry)
        if entry is None:
            yield Stands(self.now.bench)
            yield Next(self.now)
        else:
            yield from self._weighed(None)

    def _point(self, wanted: Wanted) -> Iterator[Tiding]:
        """Ask for a reading that the person chose, the bench as it stands."""
        bench = lasting(self.now.bench)
        expected = healthy_reading(self.now.stage, wanted, bench, self.profile)
        asked = Asked(wanted, bench, expected=expected)
        self.now = self.now._replace(asked=asked)
        yield Next(self.now)

    def _skip(self) -> Iterator[Tiding]:
        asked = self.now.asked
        if asked is None:
            yield Say("Nothing is proposed that could be passed over.")
            return
        if asked.proposal:
            skipped = (*self.now.skipped, asked.proposal)
            self.now = self.now._replace(skipped=skipped)
            if self.now.proposal() is None and self.now.advice.proposals:
                self.now = self.now._replace(skipped=())
                yield Say("No other is proposed: these come round again.")
        self._ask()
        yield Next(self.now)

    def _weighed(self, last: Reading | None) -> Iterator[Tiding]:
        """Yield the verdict, then the next probe: the verdict shall not wait for it."""
        self.now = self.now._replace(asked=None)
        self._ahead.rest()
        try:
            yield Judged(self._inquiry.verdict(self.now.stage), last)
            advice = self._inquiry.advice(self.now.stage)
        except UnknownValueError as fault:
            yield Say(f"No verdict: {fault}. Readings are kept all the same.")
            return
        self.now = self.now._replace(advice=advice)
        self._ask()
        yield Next(self.now)

    def _ask(self) -> None:
        """Ask for the best reading that was not passed over."""
        one = self.now.proposal() or next(iter(self.now.advice.proposals), None)
        if one is None:
            self.now = self.now._replace(asked=None)
            return
        wanted = Wanted(*one.probe)
        expected = healthy_reading(self.now.stage, wanted, one.condition, self.profile)
        asked = Asked(wanted, one.condition, one, expected)
        self.now = self.now._replace(asked=asked)


def board_of(stage: Stage) -> Stage:
    """Return a section for a session: what was done to it counts, readings do not."""
    done = tuple(entry for entry in stage.log if isinstance(entry, Event))
    return replace(stage, log=done)
