"""A traced section beside a known-good one: what is told, and what is not invented."""

from dataclasses import replace
from pathlib import Path

import pytest

from tracegraph.asking.api import read
from tracegraph.compare.compare import CompareError, compare
from tracegraph.compare.comparison import Comparison
from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Become, Remove, Tie, Vary
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"
HEAD = ("ground COM", "rail V15 15V")


def section(*lines: str) -> Stage:
    return read("\n".join((*HEAD, *lines)) + "\n")


def words(comparison: Comparison) -> list[str]:
    return [one.words for one in comparison.differences]


def test_a_suspect_treadmill_board() -> None:
    good = read(EXAMPLES / "treadmill-gate-drive.trace")
    suspect = apply(
        good,
        [
            Remove("D21"),
            Become("Q23", "npn"),
            Tie("GATE", "DRV"),
            Vary("R27", "r", exact(2200, "ohm").within(0.05)),
        ],
    )
    told = compare(suspect, good)
    assert words(told) == [
        "DRV and GATE are joined here",
        "Q23 is NPN here, PNP in the reference",
        "R27 reads 2k2 here, 22k in the reference: ten times less",
        "D21 is missing (reference line 39)",
    ]
    assert told.cost == 4
    assert told.ties == ()
    assert not told.equal


# What is traced, the reference, and what is told; the parts are those after HEAD.
CASES = {
    "the same": (("R1 10k A -- COM",), ("R1 10k A -- COM",), []),
    "ends of a resistor exchanged": (("R1 1k A -- COM",), ("R1 1k COM -- A",), []),
    "a neighbour within tolerance": (("R1 22k A -- COM",), ("R1 21k5 A -- COM",), []),
    "empty pads on both": (
        ("R1 absent 1k A -- COM", "R2 1k A -- V15"),
        ("R1 absent 1k A -- COM", "R2 1k A -- V15"),
        [],
    ),
    "empty pads here": (
        ("R1 absent 1k A -- COM", "R2 1k A -- V15"),
        ("R1 1k A -- COM", "R2 1k A -- V15"),
        ["R1 is missing (reference line 3)"],
    ),
    "removed": (
        ("R1 removed 1k A -- COM", "R2 1k A -- V15"),
        ("R1 1k A -- COM", "R2 1k A -- V15"),
        ["R1 is missing (reference line 3)"],
    ),
    "extra": (
        ("R1 1k A -- COM", "R2 1k A -- V15", "C1 1u A -- COM"),
        ("R1 1k A -- COM", "R2 1k A -- V15"),
        ["C1 is extra: the reference has no such part"],
    ),
    "an electrolytic the wrong way": (
        ("C1 10u/25V A -> COM", "R2 1k A -- V15"),
        ("C1 10u/25V COM -> A", "R2 1k A -- V15"),
        ["C1 is the other way round"],
    ),
    "gate and source": (
        ("Q1 nfet g=A d=B s=COM", "R1 1k A -- V15", "R2 1k B -- V15"),
        ("Q1 nfet g=COM d=B s=A", "R1 1k A -- V15", "R2 1k B -- V15"),
        ["Q1: gate and source swapped"],
    ),
    "a link is one net": (
        ("R1 1k A -- V15", "link A B", "R2 2k B -- COM"),
        ("R1 1k A -- V15", "R2 2k A -- COM"),
        [],
    ),
    "a bridge found": (
        ("R1 1k A -- V15", "R2 2k B -- COM", "R3 3k3 A -- COM", "bridge A B"),
        ("R1 1k A -- V15", "R2 2k B -- COM", "R3 3k3 A -- COM"),
        ["A and B are joined here"],
    ),
    "a bridge of some ohms": (
        ("R1 1k A -- V15", "R2 2k B -- COM", "bridge A B 12R"),
        ("R1 1k A -- V15", "R2 2k B -- COM"),
        ["A and B are joined here through 12 ohm"],
    ),
    "a value not known yet": (
        ("R1 ? A -- V15", "R2 2k A -- COM"),
        ("R1 1k A -- V15", "R2 2k A -- COM"),
        ["R1: its value is not known here"],
    ),
    "a pin not traced yet": (
        ("Q1 npn b=A c=B", "R1 1k A -- V15", "R2 1k B -- V15"),
        ("Q1 npn b=A c=B e=COM", "R1 1k A -- V15", "R2 1k B -- V15"),
        ["Q1: pin e is not traced here"],
    ),
    "a pinout not known": (
        ("Q1 npn ? 1=B 2=COM 3=A", "R1 1k A -- V15", "R2 1k B -- V15"),
        ("Q1 npn b=A c=B e=COM", "R1 1k A -- V15", "R2 1k B -- V15"),
        ["Q1: which pin is which is not known here"],
    ),
    "a net not traced to its end": (
        ("R1 1k A -- V15", "R3 1k A -- COM", "not traced A"),
        ("R1 1k A -- V15", "R2 2k A -- COM", "R3 1k A -- COM"),
        ["R2 is not here, but not all that hangs on A is traced"],
    ),
    "a designator misread": (
        ("R12 10k A -- COM", "R3 1k V15 -- A", "R5 2k2 B -- A", "R6 1k B -- COM"),
        ("R21 10k A -- COM", "R3 1k V15 -- A", "R5 2k2 B -- A", "R6 1k B -- COM"),
        ["R12 stands where the reference has R21: misread?"],
    ),
    "a net broken": (
        ("R1 1k A -- V15", "R2 2k A -- COM", "R3 3k3 B -- COM", "R4 1k B -- V15"),
        ("R1 1k A -- V15", "R2 2k A -- COM", "R3 3k3 A -- COM", "R4 1k A -- V15"),
        ["A is broken here: R3.1 and R4.1 stand apart"],
    ),
    "a pin moved": (
        ("R1 1k A -- V15", "R2 2k A -- COM", "R3 3k3 B -- A", "C1 1n B -- V15"),
        ("R1 1k A -- V15", "R2 2k A -- COM", "R3 3k3 B -- A", "C1 1n B -- COM"),
        ["C1.2 is on V15 here, on COM in the reference"],
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_what_is_told(name: str) -> None:
    traced, reference, expected = CASES[name]
    told = compare(section(*traced), section(*reference))
    assert words(told) == expected
    assert told.same_section


@pytest.mark.parametrize("name", CASES)
def test_what_is_told_stands_in_lines_of_both_files(name: str) -> None:
    traced, reference, _ = CASES[name]
    for one in compare(section(*traced), section(*reference)).differences:
        assert one.traced_span or one.reference_span
        assert not one.reference_span or one.reference_span.line > len(HEAD)


def test_one_bridge_explains_five_pins() -> None:
    parts = [f"R{k} {k}k A -- N{k}" for k in range(1, 6)]
    rest = [f"R{k + 10} {k}k N{k} -- V15" for k in range(1, 6)]
    more = ["R20 1k B -- COM", "R21 2k2 B -- V15"]
    good = section(*parts, *rest, *more)
    text = "\n".join((*HEAD, *parts, *rest, *more))
    told = compare(read(text.replace("A ", "B ") + "\n"), good)
    assert [one.changes for one in told.differences] == [(Tie("A", "B"),)]
    assert words(told) == ["A and B are joined here"]


def test_one_of_two_parallel_resistors_is_missing_whichever() -> None:
    good = section("R8 10k A -- COM", "R9 10k COM -- A", "R7 1k V15 -- A")
    told = compare(section("R1 10k A -- COM", "R3 1k V15 -- A"), good)
    every = [told.differences, *told.ties]
    assert sorted(one.reference for each in every for one in each) == ["R8", "R9"]


def test_with_designators_it_is_known_which() -> None:
    good = section("R8 10k A -- COM", "R9 10k COM -- A", "R7 1k V15 -- A")
    told = compare(section("R8 10k A -- COM", "R7 1k V15 -- A"), good)
    assert [one.reference for one in told.differences] == ["R9"]
    assert told.ties == ()


def test_parallel_parts_under_other_names_are_equally_well_matched() -> None:
    good = section("R8 10k A -- COM", "R9 10k COM -- A", "R7 1k V15 -- A")
    told = compare(
        section("R1 10k A -- COM", "R2 10k COM -- A", "R3 1k V15 -- A"), good
    )
    assert told.differences == ()
    assert told.equal_matches == (
        "R8 and R9 hang on the same nets and are alike: none can be told apart",
    )


def test_other_designators_and_a_rail_of_another_name() -> None:
    good = section(
        "R1 10k A -- COM", "R2 1k V15 -- A", "D1 diode A -> B", "R3 1k B -- COM"
    )
    text = (
        "ground GND\nrail VCC 15V\nR61 1k VCC -- X\nR62 10k X -- GND\n"
        "D61 diode Y -> X\nR63 1k Y -- GND\n"
    )
    told = compare(read(text), good)
    assert dict(told.parts) == {"R1": "R62", "R2": "R61", "D1": "D61", "R3": "R63"}
    assert told.nets["V15"] == "VCC"
    assert words(told) == ["D61 (D1 in the reference) is the other way round"]


def test_a_map_is_kept_to() -> None:
    good = section("R8 10k A -- COM", "R9 10k COM -- A", "R7 1k V15 -- A")
    traced = section("R1 10k A -- COM", "R2 10k COM -- A", "R3 1k V15 -- A")
    told = compare(traced, good, same={"R8": "r2"})
    assert told.parts["R8"] == "R2"
    assert told.parts["R9"] == "R1"


@pytest.mark.parametrize("same", [{"R99": "R1"}, {"R1": "R99"}])
def test_a_map_of_unknown_parts_is_refused(same: dict[str, str]) -> None:
    stage = section("R1 10k A -- COM")
    with pytest.raises(CompareError, match="there is no part R99"):
        compare(stage, stage, same=same)


def test_two_designators_exchanged_are_misread_not_two_wrong_values() -> None:
    rest = ("Q1 npn b=A c=B e=COM", "R3 1k B -- V15", "R4 3k3 A -- V15")
    good = section("R1 10k A -- COM", "R2 22k B -- COM", *rest)
    told = compare(section("R2 10k A -- COM", "R1 22k B -- COM", *rest), good)
    assert [one.kind.value for one in told.differences] == ["misread", "misread"]


def test_wrong_values_are_not_taken_for_designators_misread() -> None:
    good = section("R1 10k A -- COM", "R2 22k A -- COM", "R3 1k A -- V15")
    told = compare(
        section("R1 22k A -- COM", "R2 33k A -- COM", "R3 1k A -- V15"), good
    )
    assert [one.kind.value for one in told.differences] == ["value", "value"]


def test_sections_that_have_nothing_in_common() -> None:
    press = read(EXAMPLES / "press-bus-trip.trace")
    told = compare(press, read(EXAMPLES / "treadmill-gate-drive.trace"))
    assert not told.same_section
    assert not told.equal
    assert told.similarity < 0.3
    assert told.ties == ()


def test_nothing_beside_nothing() -> None:
    assert compare(section(), section()).equal
    assert not compare(section("R1 1k A -- COM"), section()).same_section


def test_what_a_comparison_leads_to_is_what_was_traced() -> None:
    good = section(*CASES["a net broken"][1])
    traced = section(*CASES["a net broken"][0])
    changes = [c for one in compare(traced, good).differences for c in one.changes]
    assert compare(traced, apply(good, changes)).equal


def test_designators_that_mean_something_else_there() -> None:
    good = read(EXAMPLES / "press-bus-trip.trace")
    refs = [part.ref for part in good.parts]
    turned = dict(zip(refs, [*refs[7:], *refs[:7]], strict=True))
    parts = tuple(replace(part, ref=turned[part.ref]) for part in good.parts)
    told = compare(replace(good, parts=parts), good)
    assert told.cost == 0
    assert dict(told.parts) == turned
