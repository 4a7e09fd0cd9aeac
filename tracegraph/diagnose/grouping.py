"""Suspects that read the same at the points taken so far, put together."""

from collections.abc import Sequence
from math import exp, isfinite, isnan
from typing import NamedTuple

import numpy as np

from tracegraph.diagnose.scene import Weighing
from tracegraph.diagnose.verdict import Sort, Suspect
from tracegraph.diagnose.weighing import Standing, alike
from tracegraph.display import show

LEAST = 1e-4  # chance from which a suspect is told at all
WIDE = 1.15  # high over low from which a value is told as a range


class Ranked(NamedTuple):
    """A group as standings.

    Attributes:
        members: Its standings, the likeliest first.
        chance: How likely it is that one of them is it.
    """

    members: tuple[Standing, ...]
    chance: float


def groups_of(
    weighing: Weighing, found: Sequence[Standing], total: float
) -> tuple[Ranked, ...]:
    """Return the groups, the likeliest first.

    Args:
        weighing: The readings.
        found: Everything that may be wrong.
        total: Logarithm of the weight of all, the healthy section among them.
    """
    shown = [one for one in found if one.weight > total + np.log(LEAST)]
    shown.sort(key=lambda one: -one.weight)
    groups: list[list[Standing]] = []
    for one in shown:
        for group in groups:
            if alike(one.told, group[0].told, weighing.scales).all():
                group.append(one)
                break
        else:
            groups.append([one])
    ranked = [
        Ranked(tuple(group), sum(exp(one.weight - total) for one in group))
        for group in groups
    ]
    return tuple(sorted(ranked, key=lambda group: -group.chance))


def suspect(one: Standing, total: float) -> Suspect:
    """Return a standing as it is told."""
    hypothesis = one.hypothesis
    assert hypothesis is not None
    value, low, high = _value(one)
    return Suspect(
        _words(one, value),
        hypothesis.name,
        hypothesis.sort,
        hypothesis.parts,
        hypothesis.nets,
        hypothesis.at(one.ohms) if hypothesis.way is not None else hypothesis.changes,
        hypothesis.prior,
        exp(one.weight - total),
        value,
        low,
        high,
        "ohm" if value is not None else "",
    )


def _value(one: Standing) -> tuple[float | None, float | None, float | None]:
    """Return the value of what had none before, and between which it lies."""
    if one.hypothesis is None or not one.hypothesis.spread or isnan(one.ohms):
        return None, None, None
    if not isfinite(one.ohms) or one.ohms == 0.0:
        return None, None, None
    low = one.low if isfinite(one.low) and one.low > 0 else one.ohms
    high = one.high if isfinite(one.high) else one.ohms
    return one.ohms, min(low, one.ohms), max(high, one.ohms)


def _words(one: Standing, value: float | None) -> str:
    hypothesis = one.hypothesis
    assert hypothesis is not None
    words, size = hypothesis.words, ""
    if value is not None:
        size = show(value, "ohm", 2)
    if hypothesis.name == "missed path":
        what = f"a path of about {size}" if size else "a wire or short"
        return f"{what} between {' and '.join(hypothesis.nets)} that is not in the file"
    if not size:
        return words
    return (
        f"{words} to {size}"
        if hypothesis.name == "drifted"
        else f"{words}, about {size}"
    )


def slip_share(group: Ranked) -> float:
    """Return the share of a group that is a slip of the tracing."""
    weights = np.array([one.weight for one in group.members])
    share = np.exp(weights - weights.max())
    slips = [
        one.hypothesis is not None and one.hypothesis.sort is Sort.SLIP
        for one in group.members
    ]
    return float(share[slips].sum() / share.sum())
