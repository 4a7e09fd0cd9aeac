"""How far the parts and nets of two sections resemble each other, names apart.

Parts resemble each other as far as their kinds do and the nets they stand on; nets as
far as the parts on them do: the fixed point of that, a few rounds of it.
"""

from collections import defaultdict
from itertools import permutations

from tracegraph.stage.jobs import is_plug, labelled, likeness, shunted
from tracegraph.stage.stage import Stage

ROUNDS = 4
SEEDS = 6  # pairs to begin a match with
ELSEWHERE = 0.5  # how well a net does where another one is meant
MOST_ENDS = 4  # parts whose ends are all alike are turned every way up to so many

RAIL = "rail"

Scores = dict[tuple[str, str], float]
Pins = tuple[tuple[str, str], ...]


class Resemblance:
    """Pattern and section with the likeness of all their parts and nets."""

    def __init__(self, pattern: Stage, section: Stage) -> None:
        self.pattern, self.section = pattern, section
        self.ours = {one.ref: one for one in pattern.parts if not is_plug(one)}
        self.theirs = {
            one.ref: one for one in section.parts if one.fitted and not is_plug(one)
        }
        self.pins = (
            {ref: labelled(one) for ref, one in self.ours.items()},
            {ref: labelled(one) for ref, one in self.theirs.items()},
        )
        self.alike = {
            (a, b): value
            for a, one in self.ours.items()
            for b, other in self.theirs.items()
            if (value := likeness(one, other))
        }
        self.ways = {
            (a, b): ways(self.pins[0][a], self.pins[1][b]) for a, b in self.alike
        }
        self.roles = _roles(pattern), _roles(section)
        self.shunted = shunted(section)
        self.scores = dict(self.alike)
        for _ in range(ROUNDS):
            self.scores = self._round()

    def seeds(self) -> list[tuple[str, str]]:
        """Return pairs to begin with: parts of many pins say most, each begins once."""
        ranked = sorted(
            self.scores,
            key=lambda one: (-self.scores[one] * len(self.pins[0][one[0]]), one),
        )
        first: dict[str, tuple[str, str]] = {}
        for one in ranked:
            first.setdefault(one[0], one)
        return list(first.values())[:SEEDS]

    def role(self, net: str, other: str) -> float:
        """Return how far two nets may be the same by what is declared of them."""
        one, two = self.roles[0].get(net, ""), self.roles[1].get(other, "")
        if one == two:
            return 1.0
        return ELSEWHERE if not one or not two or "input" in {one, two} else 0.0

    def place(self, net: str) -> str:
        """Return where a net of the section is: any rail is one place, a shunt none."""
        if self.roles[1].get(net) == RAIL:
            return RAIL
        return self.shunted.get(net, net)

    def _round(self) -> Scores:
        nets = self._nets()
        fresh: Scores = {}
        for (a, b), alike in self.alike.items():
            ours = self.pins[0][a]
            shares = [
                sum(nets.get((net, other), 0.0) for net, other in way)
                for way in self.ways[a, b]
            ]
            fresh[a, b] = alike * max(shares, default=0.0) / max(len(ours), 1)
        return fresh

    def _nets(self) -> Scores:
        """Return how far nets resemble each other by the parts on them."""
        best: dict[tuple[str, str], dict[str, float]] = defaultdict(dict)
        count = {net: len(pins) for net, pins in self.pattern.nets.items()}
        for (a, b), score in self.scores.items():
            for way in self.ways[a, b]:
                for net, other in way:
                    seen = best[net, other]
                    seen[a] = max(seen.get(a, 0.0), score)
        return {
            (net, other): self.role(net, other) * sum(seen.values()) / count[net]
            for (net, other), seen in best.items()
        }


def ways(ours: Pins, theirs: Pins) -> list[Pins]:
    """Return the pairs of nets that two parts' pins make, a list for each way round."""
    if ours and not ours[0][0] and len(ours) <= MOST_ENDS:
        turned = permutations(theirs, min(len(ours), len(theirs)))
        return [
            tuple((net, other) for (_, net), (_, other) in zip(ours, way, strict=False))
            for way in turned
        ]
    by_label = dict(theirs)
    return [tuple((net, by_label[label]) for label, net in ours if label in by_label)]


def _roles(stage: Stage) -> dict[str, str]:
    roles = {one.net: "input" for one in stage.inputs}
    roles |= {rail.net: RAIL for rail in stage.rails}
    return roles | {ground.net: "ground" for ground in stage.grounds}
