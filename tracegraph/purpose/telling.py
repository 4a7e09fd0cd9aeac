"""What was found without a part, as a colleague would tell it."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from tracegraph.levels.mood import Mood
from tracegraph.listing import listed
from tracegraph.purpose.actors import Actor, verbs
from tracegraph.purpose.result import Deed, Finding, Purpose, Rank

SILENT = "no level at rest shows it"
EVERYWHERE = "in every state"
_SAID = 2  # clauses, and things of one kind that are named
_STANDS = re.compile(r"(stands|goes) (too|to) |(can't|never) |is held by nothing")
"""Words of a duty that a level says better."""


class Teller(NamedTuple):
    """What the sentences need to know of a section.

    Attributes:
        acting: What acts in it.
        scenes: In which states it was worked out.
    """

    acting: tuple[Actor, ...]
    scenes: tuple[str, ...]

    def told(self, known: Purpose) -> Purpose:
        """Return what a part is for, with its sentences."""
        without = [one for one in known.findings if one.deed is Deed.WITHOUT]
        shorted = [one for one in known.findings if one.deed is Deed.SHORTED]
        seen = self.clauses(shorted, known.lost)
        return known._replace(
            without=self._without(known, without),
            shorted=f"Shorted, {seen[0]}." if seen else "",
        )

    def _without(self, known: Purpose, found: Sequence[Finding]) -> str:
        if known.absent:
            return ""
        seen = self.clauses(found, known.lost)
        first = f"Without it {known.lost}" if known.lost else ""
        if seen and (not first or _better(found, known.lost, seen[0])):
            comma = "," if seen[0].startswith(("in ", "with ")) else ""
            first, seen = f"Without it{comma} {seen[0]}", seen[1:]
        cold = [one.words for one in found if one.rank is Rank.READING]
        if not seen and self.scenes and len(found) == len(cold) and not known.untold:
            seen = [SILENT]
        said = [first, *map(_capital, (*seen, known.untold, *cold))]
        return " ".join(f"{one}." for one in said if one)

    def clauses(self, found: Sequence[Finding], lost: str) -> list[str]:
        """Return what matters most of what was found, at most two clauses."""
        of = {rank: [one for one in found if one.rank is rank] for rank in (*Rank,)}
        levels = sorted(of[Rank.LEVEL], key=lambda one: not _named(one, lost))
        said = [self._placed(one) for one in of[Rank.SUPPLY][:1]]
        if of[Rank.FLOATS] and not said:
            said.append(self._floats(of[Rank.FLOATS][0]))
        if of[Rank.ACTS] and not said[1:]:
            said.append(self._acts(of[Rank.ACTS], levels))
        said += [self._placed(one) for one in of[Rank.OVER][:1]]
        if not said and levels:
            said.append(self._level(levels[0], of[Rank.DEVICE]))
        for rank in (Rank.EDGE, Rank.DEVICE, Rank.HELD):
            if rank is Rank.EDGE or not said:
                said += [self._placed(one) for one in of[rank][:1]]
        return said[:_SAID]

    def _floats(self, one: Finding) -> str:
        """Return a floating net, the scene behind its verb."""
        net, rest = one.words.split(" floats", 1)
        return f"{net} floats {self.where(one)}{rest}"

    def _acts(self, found: Sequence[Finding], levels: Sequence[Finding]) -> str:
        """Return what acts wrongly, and the level that makes it so."""
        first = found[0]
        if first.subject not in {one.part.ref for one in self.acting}:
            return self._placed(first)
        where = self.where(first)
        if ":" in first.words:
            return f"{where} {first.words}"
        alike = [
            one
            for one in found
            if one.scenes == first.scenes and self._verbs(one) == self._verbs(first)
        ][:_SAID]
        names, verb = listed(one.subject for one in alike), self._verbs(first)
        said = f"{where} {names} {verb[1] if alike[1:] else verb[0]}"
        at = [one for one in levels if set(one.scenes) & set(first.scenes)]
        return f"{said}: {at[0].words}" if at else said

    def _verbs(self, one: Finding) -> tuple[str, str]:
        actor = next((two for two in self.acting if two.part.ref == one.subject), None)
        if actor is None:
            return one.words, one.words
        now = Mood.ON if (one.now or 0.0) > (one.was or 0.0) else Mood.OFF
        return verbs(actor, now)

    def _level(self, one: Finding, devices: Sequence[Finding]) -> str:
        at = set(one.scenes)
        moved = next((two for two in devices if set(two.scenes) & at), None)
        return f"{self._placed(one)}{f', and {moved.words}' if moved else ''}"

    def _placed(self, one: Finding) -> str:
        return f"{self.where(one)} {one.words}".lstrip()

    def where(self, one: Finding) -> str:
        """Return where something shows: `in run and stop`, `in every state`."""
        if len(one.scenes) > 1 and set(one.scenes) == set(self.scenes):
            return EVERYWHERE
        states = [
            scene.removeprefix("in ") for scene in one.scenes if scene[:3] == "in "
        ]
        others = [scene for scene in one.scenes if scene[:3] != "in "]
        return listed([*([f"in {listed(states)}"] if states else []), *others])


def _named(one: Finding, lost: str) -> bool:
    """Return whether what is commonly lost speaks of a net."""
    return one.subject in lost.replace(",", " ").replace(";", " ").split()


def _better(found: Sequence[Finding], lost: str, said: str) -> bool:
    """Return whether what was worked out says all that is commonly said, with figures."""
    if any(one.rank is Rank.FLOATS for one in found):
        return True
    levels = (one for one in found if one.rank is Rank.LEVEL and one.words in said)
    return bool(_STANDS.search(lost)) and any(_named(one, lost) for one in levels)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
