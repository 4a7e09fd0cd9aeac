"""The branches of single kinds: what the bench expects of each form."""

from math import log10

import pytest

from tests.stage.kinds.made import made
from tracegraph.quantity import Quantity, exact, unknown
from tracegraph.stage.branch import (
    Branch,
    Channel,
    Conductor,
    Follower,
    Junction,
    Store,
    Transistor,
)
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part


def cold(part: Part) -> tuple[Branch, ...]:
    return part.kind.cold(part)


def live(part: Part) -> tuple[Branch, ...]:
    return (part.kind.live or part.kind.cold)(part)


def junctions(part: Part) -> set[tuple[str, str]]:
    return {(b.anode, b.cathode) for b in cold(part) if isinstance(b, Junction)}


def follower(part: Part) -> Follower:
    (one,) = (b for b in live(part) if isinstance(b, Follower))
    return one


def ohms(part: Part) -> Quantity:
    (one,) = (b for b in cold(part) if isinstance(b, Conductor))
    return one.ohms


def control(one: Follower, volts: dict[str, float]) -> float:
    """Return the share that the output is lifted by, as the follower's law says."""
    assert one.threshold.typical is not None
    over = volts[one.plus] - volts[one.minus] - one.threshold.typical
    return 1.0 if over > 0 else 0.0


def test_an_unknown_resistor_stays_unknown() -> None:
    part = made("resistor", r=unknown("ohm", 10.0, 1e6))
    assert ohms(part) == unknown("ohm", 10.0, 1e6)


def test_a_link_is_a_wire() -> None:
    assert ohms(made("jumper")).typical == 0.0


def test_a_trimmers_two_paths_make_its_whole() -> None:
    part = made("trimmer", r=exact(10e3, "ohm"), set=exact(0.3, ""))
    left, right = (b.ohms for b in cold(part) if isinstance(b, Conductor))
    assert left.typical == pytest.approx(3e3)
    assert right.typical == pytest.approx(7e3)


def test_an_ntc_follows_its_b_value() -> None:
    """R = R25 exp(B (1/T - 1/298.15 K)), IEC 60539-1; at 85 degrees by hand."""
    part = made("ntc", r=exact(10e3, "ohm"), b=exact(3435, "K"), temp=exact(85.0, "C"))
    assert ohms(part).typical == pytest.approx(1451, rel=1e-3)


def test_an_ntc_at_25_degrees_is_what_is_printed_on_it() -> None:
    part = made("ntc", r=exact(5.0, "ohm"))
    assert ohms(part).typical == pytest.approx(5.0)
    assert ohms(part).low < 5.0 < ohms(part).high


def test_a_ptc_past_its_reference_is_only_known_to_have_doubled() -> None:
    cool = made("ptc", r=exact(100.0, "ohm"))
    hot = made("ptc", r=exact(100.0, "ohm"), temp=exact(150.0, "C"))
    assert ohms(cool).typical == 100.0
    assert ohms(hot).typical is None
    assert ohms(hot).low == 200.0


@pytest.mark.parametrize(
    ("word", "paths"),
    [
        ("diode", {("a", "k")}),
        ("commoncathode", {("a1", "k"), ("a2", "k")}),
        ("commonanode-schottky", {("a", "k1"), ("a", "k2")}),
        ("seriesdiodes", {("a", "m"), ("m", "k")}),
        ("bridge", {("-", "~1"), ("-", "~2"), ("~1", "+"), ("~2", "+")}),
        ("nfet", {("s", "d")}),
        ("pfet", {("d", "s")}),
        ("igbt", {("c", "*x"), ("e", "c")}),
        ("regulator", {("out", "in"), ("gnd", "in"), ("gnd", "out")}),
        ("negativeregulator", {("in", "out"), ("in", "gnd"), ("out", "gnd")}),
        ("shuntreg", {("a", "k"), ("a", "ref")}),
        ("hall", {("gnd", "out"), ("gnd", "vcc")}),
    ],
)
def test_diode_test_finds_these_junctions(
    word: str, paths: set[tuple[str, str]]
) -> None:
    assert junctions(made(word)) == paths


def test_an_igbt_without_its_diode_blocks_backwards() -> None:
    assert junctions(made("igbt", "no diode")) == {("c", "*x")}


def test_a_two_way_tvs_is_two_junctions_back_to_back() -> None:
    part = made("tvs", "two-way", vz=exact(18.0, "V"))
    first, second = (b for b in cold(part) if isinstance(b, Junction))
    assert (first.anode, second.anode) == ("a", "k")
    assert first.cathode == second.cathode == "*m"
    assert second.breakdown is not None
    assert first.drop.typical is not None
    assert second.breakdown.typical is not None
    # What it clamps at from outside is the one junction's drop and the other's break.
    assert first.drop.typical + second.breakdown.typical == pytest.approx(18.0)


def test_a_low_zener_is_soft() -> None:
    """Small 3V3 types give 2.3-2.9 V at 1 mA (data sheets, from memory)."""
    (zener,) = cold(made("zener", vz=exact(3.3, "V")))
    assert isinstance(zener, Junction)
    assert zener.breakdown is not None
    assert zener.breakdown.at == 5e-3
    at_1_ma = 3.3 - zener.breakdown_slope * log10(5)
    assert 2.3 <= at_1_ma <= 2.9


def test_a_varistor_gains_eight_per_cent_a_decade() -> None:
    """I = k V^alpha, alpha about 30 for zinc oxide: 10^(1/30) = 1.080."""
    first, second = cold(made("varistor", vz=exact(430.0, "V")))
    assert isinstance(first, Junction)
    assert isinstance(second, Junction)
    assert first.breakdown_slope == pytest.approx(430 * 0.0798, rel=1e-2)
    assert {first.anode, second.anode} == {"1", "2"}


@pytest.mark.parametrize(("word", "polarity"), [("npn", 1), ("pnp", -1)])
def test_a_transistor_knows_its_polarity(word: str, polarity: int) -> None:
    (one,) = cold(made(word))
    assert isinstance(one, Transistor)
    assert (one.polarity, one.base) == (polarity, "b")


def test_built_in_resistors_stand_where_they_are_written() -> None:
    part = made("npn", r2=exact(10e3, "ohm"))
    paths = {(b.a, b.b) for b in cold(part) if isinstance(b, Conductor)}
    assert paths == {("b", "e")}
    both = made("pnp-digital")
    paths = {(b.a, b.b) for b in cold(both) if isinstance(b, Conductor)}
    assert paths == {("b", "*b"), ("*b", "e")}


def test_a_written_drop_without_its_current_is_one_at_the_test_current() -> None:
    (one,) = cold(made("diode", vf=exact(0.62, "V")))
    assert isinstance(one, Junction)
    assert (one.drop.typical, one.drop.at) == (0.62, 1e-3)


def test_a_gate_is_two_capacitances_and_draws_no_current() -> None:
    part = made("nfet", ciss=exact(1.5e-9, "F"), crss=exact(40e-12, "F"))
    stores = {b.b: b.farads.typical for b in cold(part) if isinstance(b, Store)}
    assert stores == pytest.approx({"s": 1.46e-9, "d": 40e-12})
    assert not any(isinstance(b, Conductor) for b in cold(part))


def test_an_igbts_channel_is_what_its_junction_leaves() -> None:
    part = made("igbt", vcesat=Quantity(1.85, 1.85, 1.85, "V", at=10.0))
    (channel,) = (b for b in cold(part) if isinstance(b, Channel))
    assert (channel.drain, channel.source) == ("*x", "e")
    assert channel.on_ohms.typical == pytest.approx(0.1)


def test_relay_contacts_follow_on() -> None:
    def closed(part: Part) -> set[tuple[str, str]]:
        return {(b.a, b.b) for b in cold(part) if isinstance(b, Conductor)}

    coil = ("a1", "a2")
    assert closed(made("relay")) == {coil, ("com", "nc")}
    assert closed(made("relay", on=exact(1.0, ""))) == {coil, ("com", "no")}
    bare = made("relay", pins=("a1", "a2", "com", "no"))
    assert closed(bare) == {coil}


def test_a_contact_that_nobody_looked_at_may_be_either() -> None:
    (one,) = cold(made("switch", on=unknown("", 0.0, 1.0)))
    assert isinstance(one, Conductor)
    assert not one.ohms.known


def test_switch_open_thermostat_closed_unless_said() -> None:
    assert cold(made("switch")) == ()
    assert len(cold(made("switch", "closed"))) == 1
    assert cold(made("switch", "closed", on=exact(0.0, ""))) == ()
    assert len(cold(made("thermostat"))) == 1


def test_an_open_collector_has_no_junction_to_the_supply() -> None:
    assert ("out", "vcc") not in junctions(made("comparator"))
    assert ("out", "vcc") in junctions(made("opamp"))
    assert ("out", "vcc") in junctions(made("comparator", "push-pull"))


def test_a_chip_without_its_ground_pin_has_no_junctions() -> None:
    assert junctions(made("ic", pins=("1", "2"))) == set()
    assert junctions(made("ic", pins=("VSS", "2"))) == {("VSS", "2")}


def test_a_comparator_pulls_down_while_in_minus_is_higher() -> None:
    one = follower(made("comparator"))
    assert (one.pulls, one.high) == ("down", "out")
    assert control(one, {"in+": 1.0, "in-": 2.0}) == 0.0
    assert control(one, {"in+": 2.0, "in-": 1.0}) == 1.0


def test_an_output_without_its_supply_traced_drives_nothing() -> None:
    part = made("opamp", pins=("out", "in-", "in+", "gnd"))
    assert not any(isinstance(b, Follower) for b in live(part))


@pytest.mark.parametrize(("variant", "low_in"), [((), 0.0), (("inverting",), 1.0)])
def test_a_buffer_follows_or_inverts(variant: tuple[str, ...], low_in: float) -> None:
    one = follower(made("driver", *variant))
    assert control(one, {"in": 0.0, "gnd": 0.0}) == low_in
    assert control(one, {"in": 5.0, "gnd": 0.0}) == 1.0 - low_in


def test_a_regulator_lifts_its_output_while_it_is_low() -> None:
    one = follower(made("regulator", vout=exact(12.0, "V")))
    assert (one.high, one.pulls) == ("in", "up")
    assert control(one, {"gnd": 0.0, "out": 11.9}) == 1.0
    assert control(one, {"gnd": 0.0, "out": 12.1}) == 0.0


def test_a_negative_regulator_pulls_its_output_down() -> None:
    one = follower(made("negativeregulator", vout=exact(12.0, "V")))
    assert (one.low, one.pulls) == ("in", "down")
    assert control(one, {"gnd": 0.0, "out": -11.9}) == 0.0
    assert control(one, {"gnd": 0.0, "out": -12.1}) == 1.0


def test_a_shunt_regulator_pulls_down_above_its_reference() -> None:
    one = follower(made("shuntreg"))
    assert (one.low, one.pulls) == ("a", "down")
    assert control(one, {"a": 0.0, "ref": 2.6}) == 0.0
    assert control(one, {"a": 0.0, "ref": 2.4}) == 1.0


def test_light_pulls_an_optos_collector_to_its_emitter() -> None:
    one = follower(made("opto"))
    assert (one.out, one.low, one.pulls) == ("c", "e", "down")
    assert (one.plus, one.minus) == ("a", "k")
    assert one.transfer == KINDS["opto"].parameters["ctr"].quantity


def test_an_opto_with_its_base_brought_out_is_a_transistor_there() -> None:
    part = made("opto", pins=("a", "k", "e", "c", "b"))
    assert any(isinstance(b, Transistor) and b.base == "b" for b in cold(part))


def test_a_half_bridge_driver_floats_its_high_side() -> None:
    outputs = {
        b.out: (b.low, b.high, b.plus)
        for b in live(made("bridgedriver"))
        if isinstance(b, Follower)
    }
    assert outputs == {"lo": ("com", "vcc", "lin"), "ho": ("vs", "vb", "hin")}


@pytest.mark.parametrize(
    ("word", "path"), [("scr", ("a", "k")), ("triac", ("mt2", "mt1"))]
)
def test_a_thyristor_conducts_only_when_fired(word: str, path: tuple[str, str]) -> None:
    def conducting(part: Part) -> bool:
        return any(
            isinstance(b, Junction) and (b.anode, b.cathode) == path for b in live(part)
        )

    assert not conducting(made(word))
    assert conducting(made(word, on=exact(1.0, "")))


def test_a_piezo_buzzer_is_a_capacitor() -> None:
    (disc,) = cold(made("buzzer", "piezo"))
    assert isinstance(disc, Store)
