"""The sets of faults that explain the readings best, found by looking at few.

Looking at a set costs a solve of the whole section, and there are more sets than could
ever be looked at. So a set is looked at only while it might still beat what was found:
it may be no better than its prior times the best that is conceivable for it. Among
those the most promising come first: what grows from the sets that explain most.
"""

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from heapq import heappop, heappush
from math import exp, inf, log, log1p
from typing import Generic, NamedTuple, TypeVar

F = TypeVar("F", bound=Hashable)


class Explanation(NamedTuple, Generic[F]):
    """A set of faults, and how well it explains.

    Attributes:
        faults: The faults; none is the healthy section.
        prior: Natural logarithm of how likely it was before.
        likelihood: Natural logarithm of how likely the readings are under it.
        sure: Whether nothing that was not looked at can be likelier.
    """

    faults: frozenset[F]
    prior: float
    likelihood: float
    sure: bool

    @property
    def weight(self) -> float:
        """Return the logarithm of the posterior, up to what all sets share."""
        return self.prior + self.likelihood


class Limits(NamedTuple):
    """When to stop.

    Attributes:
        share: What has less than this share of the best one's posterior is left out.
        budget: How many sets may be looked at.
        most: How many faults may come together.
    """

    share: float = 1e-3
    budget: int = 1000
    most: int = 3


USUAL = Limits()


def best_first(
    priors: Mapping[F, float],
    explained: Callable[[frozenset[F]], float],
    bound: Callable[[frozenset[F]], float],
    related: Callable[[frozenset[F]], Sequence[F]] | None = None,
    limits: Limits = USUAL,
) -> Iterator[Explanation[F]]:
    """Yield sets of independent faults in order of their posterior, the best first.

    When the budget is used up, what was looked at by then is yielded in order, but is
    sure no longer.

    Args:
        priors: How likely each fault is, above 0 and below 1.
        explained: Logarithm of how likely the readings are under a set; minus infinity
            where they can't be. It is asked once for each set.
        bound: No less than that, neither for the set nor for any set that holds it.
        related: Faults that may join a set, those that touch what it leaves
            unexplained first; without it any fault may. A set is reached only by a
            way that this allows.
        limits: When to stop.

    Raises:
        ValueError: If a prior is not between 0 and 1, or a share not above 0.
    """
    search = _Search(priors, explained, bound, related, limits)
    while True:
        search.forget_hopeless()
        if search.ready():
            yield search.take()
        elif search.open and search.left > 0:
            search.look()
        elif search.done and search.worth_taking():
            yield search.take()
        else:
            return


class _Search(Generic[F]):
    """The sets looked at, and those that might be."""

    def __init__(
        self,
        priors: Mapping[F, float],
        explained: Callable[[frozenset[F]], float],
        bound: Callable[[frozenset[F]], float],
        related: Callable[[frozenset[F]], Sequence[F]] | None,
        limits: Limits,
    ) -> None:
        if not all(0.0 < prior < 1.0 for prior in priors.values()):
            raise ValueError("a prior lies between 0 and 1")
        if limits.share <= 0.0:
            raise ValueError("a share lies above 0")
        self.odds = {one: log(prior) - log1p(-prior) for one, prior in priors.items()}
        self.explained, self.bound = explained, bound
        self.related = related or (lambda _faults: tuple(self.odds))
        self.limits, self.left = limits, limits.budget
        self.open: dict[frozenset[F], float] = {}  # not looked at: its upper limit
        self.done: list[tuple[float, int, Explanation[F]]] = []
        self._best = -inf
        self._seen: set[frozenset[F]] = set()
        self._tops: list[tuple[float, int, frozenset[F]]] = []
        self._hopes: list[tuple[float, float, int, frozenset[F]]] = []
        self._healthy = sum(log1p(-prior) for prior in priors.values())
        self._gain = sum(max(0.0, odds) for odds in self.odds.values())
        self._offer(frozenset(), 0.0, inf)

    def ready(self) -> bool:
        """Return whether the best one looked at beats all that was not."""
        return (
            bool(self.done) and self.worth_taking() and -self.done[0][0] >= self._top()
        )

    def worth_taking(self) -> bool:
        """Return whether the best one left has its share of the very best."""
        return -self.done[0][0] >= self._cut()

    def take(self) -> Explanation[F]:
        """Return the best one looked at, and have it no longer."""
        weight, _, found = heappop(self.done)
        return found._replace(sure=-weight >= self._top())

    def forget_hopeless(self) -> None:
        """Drop what can't come to its share of the best any more."""
        if self.open and self._top() < self._cut():
            self.open.clear()

    def look(self) -> None:
        """Look at the most promising set, and open what grows from it."""
        faults = self._most_promising()
        upper = self.open.pop(faults)
        self.left -= 1
        likelihood = self.explained(faults)
        found = Explanation(faults, self._prior(faults), likelihood, sure=False)
        if found.weight > -inf:
            heappush(self.done, (-found.weight, len(self._seen), found))
            self._best = max(self._best, found.weight)
        if len(faults) < self.limits.most:
            for one in self.related(faults):
                if one not in faults:
                    hope = found.weight + self.odds[one]
                    self._offer(faults | {one}, hope, upper)

    def _offer(self, faults: frozenset[F], hope: float, above: float) -> None:
        """Open a set, unless it was, or can't come to its share of the best."""
        if faults in self._seen:
            return
        upper = min(above, self._reach(faults))
        if upper == -inf or upper < self._cut():
            return
        self._seen.add(faults)
        self.open[faults] = upper
        order = len(self._seen)
        heappush(self._tops, (-upper, order, faults))
        heappush(self._hopes, (-hope, -upper, order, faults))

    def _most_promising(self) -> frozenset[F]:
        """Return where to look next: where most is hoped for, if it matters yet."""
        while self._hopes[0][-1] not in self.open:
            heappop(self._hopes)
        faults = self._hopes[0][-1]
        best = -self.done[0][0] if self.done else -inf
        if self.open[faults] > best and self.open[faults] >= self._cut():
            return faults
        self._top()
        return self._tops[0][-1]

    def _top(self) -> float:
        """Return the highest that anything not looked at can come to."""
        while self._tops and self._tops[0][-1] not in self.open:
            heappop(self._tops)
        return -self._tops[0][0] if self._tops else -inf

    def _cut(self) -> float:
        return self._best + log(self.limits.share)

    def _prior(self, faults: frozenset[F]) -> float:
        return self._healthy + sum(self.odds[one] for one in faults)

    def _reach(self, faults: frozenset[F]) -> float:
        """Return the most that this set, or one that holds it, can come to."""
        held = sum(min(0.0, self.odds[one]) for one in faults)
        return self._healthy + self._gain + held + self.bound(faults)


def posterior(found: Sequence[Explanation[F]]) -> tuple[float, ...]:
    """Return how likely each one is, if one of these it is."""
    best = max((one.weight for one in found), default=0.0)
    shares = [exp(one.weight - best) for one in found]
    return tuple(share / sum(shares) for share in shares)
