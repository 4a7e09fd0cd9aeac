"""How a session at the bench stands: what was read, what is asked for next."""

from dataclasses import replace
from typing import NamedTuple

from tracegraph.asking.logbook.typed import Wanted
from tracegraph.diagnose.verdict import Advice, Proposal
from tracegraph.meter.expected import Expected
from tracegraph.stage.reading import AS_IT_LIES, Block, Condition, Event, Reading
from tracegraph.stage.stage import Stage


class Asked(NamedTuple):
    """The reading that is asked for.

    Attributes:
        wanted: Where the probes go.
        condition: How the bench must stand for it.
        proposal: What it would tell; None where the person chose the points.
        expected: What a healthy section shows there, where that can be told.
    """

    wanted: Wanted
    condition: Condition = AS_IT_LIES
    proposal: Proposal | None = None
    expected: Expected | None = None


class Past(NamedTuple):
    """Something that can be taken back.

    Attributes:
        logged: Whether it is a reading or an event; else the bench was changed.
        bench: How the bench stood before.
    """

    logged: bool
    bench: Condition


class Now(NamedTuple):
    """How a session stands.

    Attributes:
        stage: The section with its log so far.
        own: How many entries of that log are of the section's own file.
        bench: How the bench stands.
        advice: Where to probe next, as last worked out.
        asked: The reading that is asked for, if one is.
        skipped: Proposals that the person passed over.
        past: What was done in this session, in order.
        unended: The log's last line as found, if nobody knows whether it is whole.
    """

    stage: Stage
    own: int = 0
    bench: Condition = AS_IT_LIES
    advice: Advice = Advice((), "", done=False)
    asked: Asked | None = None
    skipped: tuple[Proposal, ...] = ()
    past: tuple[Past, ...] = ()
    unended: str = ""

    @property
    def entries(self) -> tuple[Reading | Event, ...]:
        """The readings and events of the log, in order; those of the file left out."""
        found: list[Reading | Event] = []
        for entry in self.stage.log[self.own :]:
            found += entry.readings if isinstance(entry, Block) else (entry,)
        return tuple(found)

    @property
    def taken(self) -> int:
        """How many readings the log holds."""
        return sum(isinstance(one, Reading) for one in self.entries)

    @property
    def prepared(self) -> bool:
        """Whether the bench stands as what is asked for needs it."""
        return self.asked is None or alike(self.asked.condition, self.bench)

    def proposal(self) -> Proposal | None:
        """Return the best proposal that was not passed over."""
        skipped = {(one.probe, one.condition) for one in self.skipped}
        left = (
            one
            for one in self.advice.proposals
            if (one.probe, one.condition) not in skipped
        )
        return next(left, None)


def alike(one: Condition, other: Condition) -> bool:
    """Return whether nothing has to be lifted or put back between two benches."""
    return (
        one.power == other.power
        and set(one.changes) == set(other.changes)
        and set(one.unplugged) == set(other.unplugged)
    )


def with_entry(now: Now, entry: Reading | Event, bench: Condition) -> Now:
    """Return the session after a reading or an event.

    Args:
        now: The session before.
        entry: What was kept.
        bench: How the bench stands from now on.
    """
    added = entry if isinstance(entry, Event) else _block(entry)
    stage = replace(now.stage, log=(*now.stage.log, added))
    past = (*now.past, Past(logged=True, bench=now.bench))
    return now._replace(stage=stage, bench=bench, past=past)


def _block(reading: Reading) -> Block:
    return Block(reading.block, reading.meter, AS_IT_LIES, (reading,))


def with_bench(now: Now, bench: Condition) -> Now:
    """Return the session after something was lifted, put back or told of the bench."""
    past = (*now.past, Past(logged=False, bench=now.bench))
    return now._replace(bench=bench, past=past)


def last_entry(now: Now) -> Reading | Event | None:
    """Return the last reading or event of the log."""
    entries = now.entries
    return entries[-1] if entries else None


def taken_back(now: Now) -> Now:
    """Return the session without the last thing done; the bench stands as before it."""
    past = now.past[-1] if now.past else Past(logged=True, bench=now.bench)
    stage = _without_last(now) if past.logged else now.stage
    return now._replace(stage=stage, bench=past.bench, past=now.past[:-1])


def _without_last(now: Now) -> Stage:
    """Return the section without the last reading or event of its log."""
    log = list(now.stage.log)
    while len(log) > now.own:
        entry = log.pop()
        if isinstance(entry, Event):
            break
        if entry.readings:
            log.append(entry._replace(readings=entry.readings[:-1]))
            break
    return replace(now.stage, log=tuple(log))
