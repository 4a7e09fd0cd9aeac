"""Least steps over nets against a search through everything the steps can do.

Sections of up to eight parts. A state is how pins stand together. Breaks are made in
the copper that the reference has, bridges come upon it: a net that was joined is not
broken again, which would be another break of what it was made of.
"""

from collections.abc import Iterator
from itertools import combinations
from random import Random

import pytest

from tracegraph.compare.tally import Tally

Blocks = frozenset[frozenset[int]]


def _splits(block: frozenset[int]) -> Iterator[tuple[frozenset[int], frozenset[int]]]:
    first, *rest = sorted(block)
    for count in range(len(rest)):
        for with_first in combinations(rest, count):
            kept = frozenset({first, *with_first})
            yield kept, block - kept


def broken(blocks: Blocks) -> Iterator[Blocks]:
    for block in blocks:
        for halves in _splits(block):
            yield (blocks - {block}) | {*halves}


def joined(blocks: Blocks) -> Iterator[Blocks]:
    for one, other in combinations(blocks, 2):
        yield (blocks - {one, other}) | {one | other}


def moved(blocks: Blocks) -> Iterator[Blocks]:
    for block in blocks:
        for pin in block:
            left = blocks - {block} | ({block - {pin}} if len(block) > 1 else set())
            yield left | {frozenset({pin})}
            for host in left - {block - {pin}}:
                yield left - {host} | {host | {pin}}


def least_steps(old: Blocks, new: Blocks, most: int) -> int | None:
    """Return the fewest breaks, then bridges, with moves at any time; None over `most`.

    `fresh` are states without a bridge yet.
    """
    fresh, later = {old}, {old}
    for count in range(most + 1):
        if new in fresh or new in later:
            return count
        if count < most:
            after = {s for one in fresh | later for s in (*joined(one), *moved(one))}
            fresh = {s for one in fresh for s in (*broken(one), *moved(one))}
            later = after
    return None


def our_steps(old: Blocks, new: Blocks) -> int:
    tally = Tally([])
    name = {pin: f"old {k}" for k, block in enumerate(old) for pin in block}
    called = {pin: f"new {k}" for k, block in enumerate(new) for pin in block}
    tally.add((name[pin], called[pin]) for pin in name)
    return tally.steps()


def _grouped(random: Random, pins: int) -> Blocks:
    nets = [random.randrange(max(pins // 3, 2)) for _ in range(pins)]
    return frozenset(
        frozenset(pin for pin in range(pins) if nets[pin] == net) for net in set(nets)
    )


def _stepped(random: Random, blocks: Blocks) -> Blocks:
    act = random.choice((broken, joined, moved))
    found = sorted(act(blocks), key=lambda one: sorted(map(sorted, one)))
    return random.choice(found) if found else blocks


@pytest.mark.parametrize("case", range(60))
def test_two_steps_or_less_are_found_as_a_search_finds_them(case: int) -> None:
    random = Random(case)
    old = _grouped(random, random.randint(5, 11))
    new = old
    for _ in range(random.randint(0, 3)):
        new = _stepped(random, new)
    searched = least_steps(old, new, 2)
    ours = our_steps(old, new)
    assert ours == searched if searched is not None else ours >= 3


@pytest.mark.parametrize("case", range(40))
def test_any_regrouping_of_few_pins_costs_what_a_search_finds(case: int) -> None:
    random = Random(1000 + case)
    pins = random.randint(3, 6)
    old, new = _grouped(random, pins), _grouped(random, pins)
    assert our_steps(old, new) == least_steps(old, new, 6)


def test_every_regrouping_of_four_pins() -> None:
    every = set(_all_groupings(4))
    assert len(every) == 15  # Bell number
    for old in every:
        for new in every:
            assert our_steps(old, new) == least_steps(old, new, 5)


def _all_groupings(pins: int) -> Iterator[Blocks]:
    def grown(count: int) -> Iterator[tuple[int, ...]]:
        if not count:
            yield ()
            return
        for before in grown(count - 1):
            for net in range(max(before, default=-1) + 2):
                yield (*before, net)

    for nets in grown(pins):
        yield frozenset(
            frozenset(k for k in range(pins) if nets[k] == net) for net in set(nets)
        )


def test_one_bridge_explains_five_pins() -> None:
    old = frozenset({frozenset(range(5)), frozenset(range(5, 12))})
    assert our_steps(old, frozenset({frozenset(range(12))})) == 1


def test_an_anchor_never_moves() -> None:
    tally = Tally([("COM", "GND")])
    tally.add([("COM", "X"), ("COM", "X"), ("SIG", "GND")])
    assert tally.steps() == 2  # two pins broken off COM, one net joined to it


def test_what_was_added_is_taken_off_again() -> None:
    tally = Tally([])
    tally.add([("A", "X"), ("B", "X")])
    assert tally.steps() == 1
    tally.remove([("B", "X")])
    assert tally.steps() == 0
