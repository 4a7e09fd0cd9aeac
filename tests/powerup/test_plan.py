"""The power-up plan: cautions first, steps that apply, nothing that hurts."""

import json
from collections.abc import Callable
from functools import cache

import pytest

from tests.powerup.sections import example, section
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.powerup.plan import plan
from tracegraph.powerup.record import Plan, Step
from tracegraph.stage.stage import Stage
from tracegraph.views.plain import plain_text
from tracegraph.views.plan_page import plan_page
from tracegraph.views.plan_record import plan_record
from tracegraph.views.record import as_json

CHARGER = "charger-flyback-primary"
TREADMILL = "treadmill-gate-drive"
# A boost stage and one phase of a half bridge, as small as they can be.
BOOST = (
    "rail VIN 100V",
    "rail BUS 160V",
    "rail P12 12V",
    "input PWM 0V / 5V via 100R 50kHz 40%",
    "U1 driver in=PWM out=DRV gnd=COM vcc=P12",
    "R1 22R DRV -- GATE",
    "R2 10k GATE -- COM",
    "L1 inductor 470u VIN -- SW",
    "Q1 nfet g=GATE d=SW s=COM rating 250V 20A",
    "D1 fast SW -> BUS",
    "C1 100u/250V BUS -> COM",
    "R3 100k BUS -- COM",
    "state off PWM=low",
    "state on PWM=high VIN=0V BUS=0V",
)
BRIDGE = (
    "rail P12 12V",
    "rail BUS 48V",
    "input HIN 0V / 5V via 100R 20kHz 50%",
    "input LIN 0V / 5V via 100R 20kHz 50%",
    "U1 bridgedriver vcc=P12 hin=HIN lin=LIN com=COM lo=LO vs=PH ho=HO vb=VB",
    "D1 fast P12 -> VB",
    "C1 100n VB -- PH",
    "R1 22R HO -- GH",
    "Q1 nfet g=GH d=BUS s=PH rating 100V 20A",
    "R2 22R LO -- GL",
    "Q2 nfet g=GL d=PH s=COM rating 100V 20A",
)


def planned(stage: Stage) -> Plan:
    return plan(stage, find_meter(DEFAULT))


@cache
def of_example(name: str) -> Plan:
    return planned(example(name))


def step(found: Plan, name: str) -> Step:
    return next(one for one in found.steps if one.name == name)


def test_the_plan_of_the_charger(golden: Callable[[str, str], None]) -> None:
    golden("views/plan-charger.txt", plain_text(plan_page(of_example(CHARGER)), 80))


def test_cautions_stand_before_everything_else() -> None:
    lines = plain_text(plan_page(of_example(CHARGER)), 80).splitlines()
    first = lines.index("1. Look, then ohms: board cold")
    before = [one for one in lines[1:first] if one]
    assert before
    assert all(one.startswith(("CAUTION: ", "         ")) for one in before)


@pytest.mark.parametrize(
    "words",
    [
        "treat it as charged",
        "discharge it through 4k7",
        "earth clip of an earthed scope",
        "differential probe",
        "isolating transformer",
        "RCD",
        "CAT III 600 V",
        "local rules and your licence",
        "one hand",
        "measure before you touch",
    ],
)
def test_the_cautions_of_a_mains_fed_board(words: str) -> None:
    assert words in " ".join(of_example(CHARGER).cautions)


@cache
def of_lines(*lines: str) -> Plan:
    return planned(section(*lines))


@pytest.mark.parametrize(
    "found",
    [
        lambda: of_example(CHARGER),
        lambda: of_lines(*BOOST),
        lambda: of_example(TREADMILL),
    ],
    ids=["charger", "boost", "treadmill"],
)
def test_every_live_step_has_its_cautions_and_when_to_stop(
    found: Callable[[], Plan],
) -> None:
    for one in found().steps:
        if one.live:
            assert any("local rules" in words for words in one.cautions), one.name
            assert one.stop, one.name


def test_the_order_of_the_steps() -> None:
    assert [one.name for one in of_example(CHARGER).steps] == [
        "cold",
        "device",
        "supply",
        "control",
        "drive",
        "low link",
        "fitted",
        "full",
    ]


def test_nothing_is_live_before_the_supply_is_chosen() -> None:
    names = [one.name for one in of_example(CHARGER).steps if not one.live]
    assert names == ["cold", "device", "supply"]


def test_a_burnt_part_of_unknown_value_keeps_the_device_out() -> None:
    found = of_example(CHARGER)
    assert any("R67 has no value" in one for one in step(found, "cold").unknown)
    assert "not before R67 is known and right" in step(found, "fitted").do


def test_an_unknown_chip_has_no_levels_and_is_fed_below_its_zener() -> None:
    found = of_example(CHARGER)
    fed = next(one for one in step(found, "supply").do if one.startswith("VCC"))
    assert "stay under 18 V, where D62 may begin" in fed  # 20 V, 5 %, a twentieth less
    assert step(found, "control").read[0].shows == "not known"


def test_a_boost_stage_is_never_driven_without_a_load() -> None:
    found = of_lines(*BOOST)
    for name in ("low link", "fitted", "full"):
        assert any("Never drive Q1" in one for one in step(found, name).cautions)


def test_it_says_when_absent_pulses_are_no_fault() -> None:
    told = " ".join(step(of_lines(*BOOST), "drive").do)
    assert "no pulses are no fault while BUS is at its target" in told


def test_what_the_bench_supplies_give_comes_of_the_solved_states() -> None:
    # Treadmill, SPD high: 15 V on R25 of 1 k is 15 mA, the bases take the rest.
    told = step(of_example(TREADMILL), "supply").do[0]
    assert told == "V15: 15 V over COM, limit 50 mA; 17 mA computed in run, times 2"


def test_the_wave_at_an_emptied_gate() -> None:
    (wave,) = step(of_example(TREADMILL), "drive").read
    assert wave.mode == "scope"
    assert wave.shows.startswith("0.27 V to 14.4 V, 8 kHz, 60 % high")


def test_two_sides_of_a_half_bridge_are_never_on_together() -> None:
    found = of_lines(*BRIDGE)
    told = step(found, "fitted").cautions
    assert any(one.startswith("Never both inputs of U1 ") for one in told)
    wires = [one for one in step(found, "drive").do if one.startswith("join PH to COM")]
    assert len(wires) == 1


def test_twelve_volts_need_no_lamp_and_no_isolating_transformer() -> None:
    found = planned(
        section(
            "rail P12 12V 5%",
            "input IN 0V / 5V via 100R",
            "R1 4k7 IN -- B",
            "Q1 npn b=B c=OUT e=COM",
            "R2 1k P12 -- OUT",
            "state on IN=high",
            "state off IN=low",
        )
    )
    assert [one.name for one in found.steps] == ["cold", "supply", "control"]
    every = as_json(plan_record("x", found, ()))
    assert "lamp" not in every
    assert "isolating" not in every
    levels = {(one.red, one.state): one.low for one in step(found, "control").read}
    assert levels[("OUT", "off")] is not None


def test_a_rail_without_volts_is_told() -> None:
    found = planned(
        section("rail P12 ?", "R1 1k P12 -- A", "R2 1k A -- COM", "state s")
    )
    told = " ".join(step(found, "supply").unknown)
    assert "P12 has no volts in the file" in told
    assert "no levels for s" in told


def test_an_unknown_capacitor_gets_a_resistor_that_is_told_as_supposed() -> None:
    found = planned(
        section("rail BUS 325V", "C1 electrolytic ? BUS -> COM", "R1 100k BUS -- COM")
    )
    told = " ".join(found.cautions)
    assert "enough for 1000 µF; how much it is is not known" in told


def test_a_section_of_next_to_nothing_still_has_a_plan() -> None:
    found = planned(section("R1 1k A -- B"))
    assert [one.name for one in found.steps] == ["cold", "supply"]
    assert "Nothing here is known to stand over 60 V" in found.cautions[0]


def test_a_machine_gets_the_same() -> None:
    text = as_json(plan_record("x", of_lines(*BOOST), ()))
    told = json.loads(text)
    assert told["command"] == "plan"
    assert told["results"][0]["name"] == "cold"
    assert told["link"]["links"][0]["falls"][0]["volts"] == 60.0
    assert told["cautions"]


def test_a_lamp_is_told_for_the_mains_only() -> None:
    # 380 V is no crest of any single phase: it was lifted, or comes of three phases.
    bus = ("C1 100u/450V BUS -> COM", "R1 220k BUS -- COM")
    lifted = step(of_lines("rail BUS 380V", *bus), "supply")
    direct = step(of_lines("rail BUS 325V", *bus), "supply")
    assert any("no lamp is worked out" in one for one in lifted.do)
    assert any("filament lamp of 40 W, 230 V" in one for one in direct.do)
