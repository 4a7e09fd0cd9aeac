"""Volts of the powered board are proposed last, and with their caution."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache

from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tests.diagnose.treadmill import D, O
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.powering import live_ones
from tracegraph.diagnose.verdict import Advice
from tracegraph.meter.expect import Probe
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode
from tracegraph.views.next_page import next_page
from tracegraph.views.plain import plain_text

Golden = Callable[[str, str], None]
OPTO = """\
stage "isolated stop line"
ground COM
rail P5 5V
rest P5 -- COM none
input IN 0V / 5V via 100R
nothing on IN
R1 330R IN -- LA
U1 opto a=LA k=COM c=OUT e=COM
R2 10k P5 -- OUT
state on IN=high
state off IN=low
"""
COLD = (
    ("IN", "COM", D),
    ("LA", "OUT", D),
    ("OUT", "P5", O),
    ("LA", "P5", O),
    ("COM", "P5", O),
    ("COM", "LA", O),
    ("IN", "LA", O),
)
"""After these no cold reading tells more; a worn optocoupler shows under power only."""


@cache
def opto() -> Inquiry:
    return Inquiry(read(from_text("x", OPTO)), HANDHELD)


@cache
def after_cold(count: int) -> Advice:
    readings = Bench(opto().stage, seed=3).log(COLD[:count])
    return opto().advice(with_readings(opto().stage, readings))


def test_volts_are_proposed_last_only() -> None:
    early = after_cold(2)
    assert early.proposals
    assert all(one.condition.cold for one in early.proposals)
    late = after_cold(len(COLD))
    assert late.done  # no cold one is left
    first = late.proposals[0]
    assert first.probe == Probe("OUT", "COM", Mode.VOLTS)
    assert first.condition.power == "on"
    assert first.cost > 5 * early.proposals[0].cost
    good, bad, *_ = first.outcomes
    assert good.healthy
    assert "U1" in bad.means
    assert bad.display.startswith("4.88 V")  # R2 alone, less what the meter draws


def test_volts_are_proposed_in_declared_states_only() -> None:
    stage = read(from_text("x", OPTO))
    stateless = replace(stage, states=())
    readings = Bench(stateless, seed=3).log(COLD)
    found = Inquiry(stateless, HANDHELD).advice(with_readings(stateless, readings))
    assert found.proposals == ()
    assert "all is said" in found.words


def test_volts_are_proposed_with_their_caution(golden: Golden) -> None:
    text = plain_text(next_page(opto().stage, after_cold(len(COLD))))
    assert "CAUTION: A reading marked as powered is taken on the live board" in text
    golden("diagnose/next-powered.txt", text)


HARMFUL = """\
ground COM
rail HV 320V
rest HV -- COM none
input IN 0V / 320V via 100k
nothing on IN
R1 330k IN -- LA
U1 opto a=LA k=COM c=HV e=OUT
R2 100k OUT -- COM
state on IN=high
"""


def test_a_harmful_net_is_proposed_only_where_nothing_else_tells() -> None:
    stage = read(from_text("x", HARMFUL))
    weights = Inquiry(stage, HANDHELD).weigh(with_readings(stage, []))
    every = live_ones(weights, None, 0.0, 0.0)
    harmful = [one.plain for one in every if one.harmful]
    assert "OUT" in {one.probe.red for one in harmful}
    best = max(one.bits for one in harmful)
    left = live_ones(weights, None, 0.6 * best, 0.0)  # a cold one tells as much
    assert not any(one.harmful for one in left)
