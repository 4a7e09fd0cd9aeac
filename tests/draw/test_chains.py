"""Parts with two ends and nothing between are one line; a ring has a beginning too."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tests.draw.written import section_of
from tracegraph.draw.chains import Link, chains
from tracegraph.draw.items import Section


def chained(section: Section) -> list[list[Link]]:
    return chains(section, [one for one in section.items if len(one.nets) == 2])


def refs(lines: str) -> list[str]:
    return [
        " ".join(item.ref for item, _, _ in chain)
        for chain in chained(section_of(lines))
    ]


def test_parts_in_series_are_one_chain_whatever_their_order_in_the_file() -> None:
    assert refs("R2 1k B -- A\nD1 diode B -> C\nR1 1k P12 -- A\n") == ["D1 R2 R1"]


def test_a_third_pin_parts_a_chain() -> None:
    assert refs("R1 1k P12 -- A\nR2 1k A -- B\nR3 1k A -- COM\n") == ["R1", "R2", "R3"]


def test_so_does_a_net_that_goes_on_elsewhere() -> None:
    series = "R1 1k P12 -- A\nR2 1k A -- COM\n"
    assert refs(series) == ["R1 R2"]
    assert refs(series + "not traced A\n") == ["R1", "R2"]
    assert refs(series + "input A 0V / 5V\n") == ["R1", "R2"]


def test_so_does_a_transistor() -> None:
    assert refs("R1 1k P12 -- A\nQ1 npn b=A c=P12 e=COM\n") == ["R1"]


def test_a_ring_ends_with_each_part_once() -> None:
    assert refs("R1 1k A -- B\nR2 1k B -- C\nR3 1k C -- A\n") == ["R1 R2 R3"]


def test_a_part_with_both_ends_on_one_net_is_a_chain_by_itself() -> None:
    assert refs("R1 1k A -- A\nR2 1k A -- COM\n") == ["R1", "R2"]


NETS = st.sampled_from(("P12", "COM", "A", "B", "C", "D", "E"))


@given(st.lists(st.tuples(NETS, NETS), min_size=1, max_size=9))
def test_every_part_is_in_one_chain_and_each_goes_on_where_the_last_ended(
    pairs: list[tuple[str, str]],
) -> None:
    section = section_of(
        "".join(f"R{k} 1k {a} -- {b}\n" for k, (a, b) in enumerate(pairs))
    )
    found = chained(section)
    told = sorted(item.ref for chain in found for item, _, _ in chain)
    assert told == sorted(item.ref for item in section.items)
    for chain in found:
        for (before, _, out), (after, come, _) in pairwise(chain):
            assert before.nets[out] == after.nets[come]
            assert len(section.pins[before.nets[out]]) == 2
