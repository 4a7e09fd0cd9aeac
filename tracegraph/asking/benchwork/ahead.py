"""Working ahead while the person sets the probes, so that the verdict comes at once."""

from collections.abc import Callable, Iterable, Iterator
from threading import Event, Thread

from tracegraph.asking.benchwork.healthy import taken_as_expected
from tracegraph.asking.benchwork.now import Now, with_entry
from tracegraph.asking.logbook.standing import lasting
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.pausing import Paused, give_way
from tracegraph.diagnose.rig import Asked
from tracegraph.stage.reading import AS_IT_LIES, Reading, Shown

Job = Callable[[], object]


class Ahead:
    """Works on an inquiry's behalf in the background, and never while it is asked."""

    def __init__(self, inquiry: Inquiry) -> None:
        """Take an inquiry that nobody else works on between `begin` and `rest`."""
        self._inquiry = inquiry
        self._stop = Event()
        self._thread: Thread | None = None
        self._of: Now | None = None

    def begin(self, now: Now) -> None:
        """Begin to work ahead from here, unless that is being done already."""
        if self._thread and self._of is now:
            return
        self.rest()
        self._stop = Event()
        self._of = now
        self._thread = Thread(
            target=_worked, args=(self._inquiry, now, self._stop), daemon=True
        )
        self._thread.start()

    def rest(self) -> None:
        """Call the work off and wait until it rests: some tenths of a second."""
        if self._thread:
            self._stop.set()
            if self._thread.is_alive():  # Ctrl-C may have come before it began
                self._thread.join()
            self._thread = None


def _worked(inquiry: Inquiry, now: Now, stop: Event) -> None:
    give_way(stop.is_set)
    try:
        for job in jobs(inquiry, now):
            job()
    except Paused:
        return
    except Exception:  # asked in earnest it fails again, and is told then
        return


def jobs(inquiry: Inquiry, now: Now) -> Iterator[Job]:
    """Yield what is worth working out, the likeliest to be asked first."""
    proposals = [one for one in now.advice.proposals if one.condition == AS_IT_LIES]
    probes: list[Asked] = [one.probe for one in proposals]
    if now.asked and now.asked.condition == AS_IT_LIES:
        probes = [now.asked.wanted, *probes]
        after = with_entry(now, _likeliest(now), lasting(now.bench))
        yield lambda: inquiry.verdict(after.stage)
        yield lambda: inquiry.advice(after.stage)
    yield lambda: inquiry.warm_up(now.stage, _between_nets(now, probes))


def _likeliest(now: Now) -> Reading:
    """Return the reading that is probably taken next."""
    assert now.asked
    expected = taken_as_expected(now.asked, now.bench)
    return expected or Reading(*now.asked.wanted, Shown.OPEN, condition=now.bench)


def _between_nets(now: Now, probes: Iterable[Asked]) -> list[Asked]:
    """Return readings by the nets that their points are on."""
    found: list[Asked] = []
    for red, black, mode in probes:
        a, b = now.stage.net(red), now.stage.net(black)
        if a and b and a != b:
            found.append((a, b, mode))
    return found
