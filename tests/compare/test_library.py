"""The nearest usual stage is found inside a traced section, names and values apart."""

from pathlib import Path

import pytest

from tracegraph.compare.compare import compare
from tracegraph.compare.comparison import DifferenceKind
from tracegraph.compare.dressing import dressed
from tracegraph.compare.fitting import fit
from tracegraph.compare.library import Near, find_pattern, nearest, patterns
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Become, Permute, Remove
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"
NEAREST = {
    "charger-flyback-primary": "flyback-primary",
    "dryer-relay-driver": "relay-driver",
    "press-bus-trip": "bus-divider-trip",
    "solar-pump-half-bridge": "half-bridge-bootstrap",
    "treadmill-gate-drive": "gate-drive-helper",
    "welder-igbt-driver": "igbt-driver-opto",
}


def example(name: str) -> Stage:
    path = EXAMPLES / f"{name}.trace"
    return read(from_bytes(path.name, path.read_bytes()))


def usual(name: str) -> Stage:
    found = find_pattern(name)
    assert found
    return found.stage


def first(section: Stage) -> Near:
    return nearest(section)[0]


@pytest.mark.parametrize(("name", "wanted"), NEAREST.items())
def test_each_example_is_told_for_the_stage_that_it_is(name: str, wanted: str) -> None:
    found = first(example(name))
    assert found.pattern.name == wanted
    assert found.is_one
    assert found.similarity >= 0.8


@pytest.mark.parametrize("name", [one.name for one in patterns()])
def test_every_usual_stage_is_nearest_to_itself_and_whole(name: str) -> None:
    found = first(usual(name))
    assert (found.pattern.name, found.similarity) == (name, 1.0)
    assert found.lacks == ()
    assert all(ours == theirs for ours, theirs in found.fit.parts.items())


def test_a_gate_drive_without_its_pull_down_is_told_so() -> None:
    whole = first(example("treadmill-gate-drive"))
    section = apply(example("treadmill-gate-drive"), [Remove("R27")])
    found = first(section)
    assert found.pattern.name == "gate-drive-helper"
    (said,) = (one for one in found.lacks if "gate pull-down" in one)
    assert said == (
        "no gate pull-down, a resistor on GATE and COM: "
        "nothing keeps Q24 off with its driver unplugged"
    )
    assert not any("pull-down" in one for one in whole.lacks)


def test_a_relay_driver_without_its_diode_is_told_by_the_names_of_the_board() -> None:
    bare = (
        "ground GND\nrail V24 24V\ninput EN 0V / 3.3V via 100R\n"
        "R71 1k EN -- B7\nR72 22k B7 -- GND\nQ71 npn b=B7 c=RLY e=GND\n"
        "K71 relay 1k2 a1=V24 a2=RLY com=X no=Y\nC71 47u V24 -> GND\n"
    )
    found = first(read(from_text("bare", bare)))
    assert found.pattern.name == "relay-driver"
    assert found.fit.parts["Q1"] == "Q71"
    (said,) = found.lacks
    assert said.startswith("no freewheel diode, a diode on RLY and V24: ")
    assert "Q71 takes its spike" in said


def test_a_pull_down_to_the_source_above_a_shunt_is_one() -> None:
    found = first(example("charger-flyback-primary"))
    assert found.fit.parts["R5"] == "R67"
    assert "R5" in found.fit.otherwise
    assert not any("gate pull-down" in one for one in found.lacks)


def test_what_the_section_does_not_reach_is_not_called_missing() -> None:
    text = (
        "ground COM\nR1 22R DRV -- GATE\nR2 10k GATE -- COM\nD1 zener 15V COM -> GATE\n"
    )
    text += "Q1 nfet g=GATE d=D s=COM\n"
    found = fit(usual("gate-buffer"), read(from_text("little", text)))
    assert found.missing == ()
    assert {"Q1", "Q2", "R1"} <= set(found.beyond)


def test_on_a_net_that_is_not_traced_to_its_end_nothing_is_missing() -> None:
    section = apply(example("treadmill-gate-drive"), [Remove("R27")])
    half = read(
        from_text(
            "half",
            (EXAMPLES / "treadmill-gate-drive.trace")
            .read_text("utf-8")
            .replace("R27  22k       GATE -- COM", "not traced GATE")
            .replace(" R27.1", ""),
        )
    )
    whole = fit(usual("gate-drive-helper"), section)
    assert "R7" in whole.missing
    assert "R7" in fit(usual("gate-drive-helper"), half).beyond


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        (Remove("D51"), DifferenceKind.ABSENT),
        (Permute("D51", {"a": "k", "k": "a"}), DifferenceKind.REVERSED),
        (Permute("D53", {"a": "k", "k": "a"}), DifferenceKind.REVERSED),
    ],
)
def test_a_section_is_compared_with_the_usual_stage_dressed_in_its_names(
    change: Remove | Permute, kind: DifferenceKind
) -> None:
    section = apply(example("welder-igbt-driver"), [change])
    found = first(section)
    assert found.pattern.name == "igbt-driver-opto"
    mine, theirs = dressed(found.pattern.stage, section, found.fit)
    (only,) = compare(mine, theirs).differences
    assert only.kind is kind


def test_a_transistor_of_the_other_kind_is_found_against_the_usual_stage() -> None:
    section = apply(example("treadmill-gate-drive"), [Become("Q23", "npn")])
    found = first(section)
    mine, theirs = dressed(found.pattern.stage, section, found.fit)
    kinds = {(one.kind, one.traced) for one in compare(mine, theirs).differences}
    assert (DifferenceKind.KIND, "Q23") in kinds


def test_a_section_in_the_usual_stages_own_values_has_no_other_difference() -> None:
    section = example("welder-igbt-driver")
    found = first(section)
    mine, theirs = dressed(found.pattern.stage, section, found.fit)
    assert compare(mine, theirs).equal


def test_an_empty_section_is_near_to_nothing() -> None:
    found = first(read(from_text("empty", "ground COM\n")))
    assert found.similarity == 0.0
    assert not found.is_one
