"""Where to probe next: a session with a simulated board, and what is never proposed."""

from collections.abc import Iterator, Sequence
from functools import cache

import pytest

from tests.diagnose.simulated import HANDHELD, Bench, with_readings
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Advice, Proposal, State, Verdict
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.change import Change, Cut, Tie, Vary
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.reading import Mode, Reading, Shown
from tracegraph.stage.stage import Stage

HELPER = """\
ground COM
rail P12 12V
rest P12 -- COM 1k8
input SPD 0V / 5V via 330R
nothing on SPD
state run SPD=high
R1   4k7  P12 -- DRV
D1   diode DRV -> GD
Q5   pnp  b=DRV e=GD c=COM
R2   22R  GD -- GATE
R3   47k  GATE -- COM
R4   10k  SPD -- COM
"""
TWINS = """\
ground COM
R1 10k A -- COM
R2 10k A -- COM
R3 1k A -- B
R4 4k7 B -- COM
"""
MOST = 14  # readings after which a session must have come to its end


@cache
def stage_of(text: str) -> Stage:
    return read(from_text("x", text))


@cache
def inquiry(text: str) -> Inquiry:
    return Inquiry(stage_of(text), HANDHELD)


def advice(text: str, readings: Sequence[Reading] = ()) -> Advice:
    return inquiry(text).advice(with_readings(stage_of(text), readings))


def verdict(text: str, readings: Sequence[Reading]) -> Verdict:
    return inquiry(text).verdict(with_readings(stage_of(text), readings))


class Session:
    """The first proposal taken, over and over, until nothing is proposed in place."""

    def __init__(self, text: str, *changes: Change, seed: int = 1) -> None:
        bench = Bench(stage_of(text), changes, seed=seed)
        self.readings: list[Reading] = []
        self.told: list[Advice] = []
        while len(self.readings) < MOST:
            found = advice(text, self.readings)
            self.told.append(found)
            if found.done or not found.proposals:
                break
            self.readings.append(bench.read(*found.proposals[0].probe))
        self.verdict = verdict(text, self.readings)

    def proposals(self) -> Iterator[Proposal]:
        for one in self.told:
            yield from one.proposals


SESSIONS: dict[str, tuple[str, tuple[Change, ...]]] = {
    "healthy": (HELPER, ()),
    "leaky helper": (HELPER, (Tie("GD", "COM", 40.0),)),
    "open resistor": (HELPER, (Cut(Pin("R3", "1")),)),
    "twins": (TWINS, (Vary("R1", "r", exact(47e3, "ohm")),)),
}


@cache
def session(name: str) -> Session:
    text, changes = SESSIONS[name]
    return Session(text, *changes)


def test_an_empty_log_gives_the_first_probe() -> None:
    found = advice(HELPER)
    assert not found.done
    first = found.proposals[0]
    nets = stage_of(HELPER).nets
    assert {first.probe.red, first.probe.black} <= nets.keys()
    assert first.probe.red != first.probe.black
    assert first.probe.mode in {Mode.DIODE, Mode.OHMS}
    assert first.bits > 0
    assert first.outcomes


@pytest.mark.parametrize("name", SESSIONS)
def test_a_session_comes_to_its_end(name: str) -> None:
    done = session(name)
    assert len(done.readings) < MOST
    assert done.told[-1].done
    assert done.told[-1].words


@pytest.mark.parametrize("name", SESSIONS)
def test_proposals_are_cold_and_worth_their_cost(name: str) -> None:
    for one in session(name).proposals():
        assert one.condition.cold
        assert one.probe.mode is not Mode.VOLTS
        assert one.bits >= 0
        assert one.cost > 0
        chances = [outcome.chance for outcome in one.outcomes]
        assert chances == sorted(chances, reverse=True)
        assert sum(chances) <= 1 + 1e-6
        assert all(outcome.display and outcome.means for outcome in one.outcomes)
        assert sum(outcome.healthy for outcome in one.outcomes) <= 1


@pytest.mark.parametrize("name", SESSIONS)
def test_the_best_is_told_first(name: str) -> None:
    for found in session(name).told:
        if not found.done:
            gain = [one.bits / one.cost for one in found.proposals]
            assert gain == sorted(gain, reverse=True)


@pytest.mark.parametrize("name", ["healthy", "leaky helper"])
def test_what_was_read_and_believed_is_not_asked_again(name: str) -> None:
    done = session(name)
    for taken, found in enumerate(done.told):
        before = {(one.red, one.black, one.mode) for one in done.readings[:taken]}
        doubted = {
            (one.reading.red, one.reading.black, one.reading.mode)
            for one in verdict(SESSIONS[name][0], done.readings[:taken]).doubtful
        }
        asked = {tuple(one.probe) for one in found.proposals}
        if not doubted:
            assert not before & asked


def test_a_healthy_board_is_healthy_at_the_end() -> None:
    done = session("healthy")
    assert done.verdict.state is State.HEALTHY
    assert len(done.readings) >= 3


def test_a_leaky_helper_is_found_in_a_few_probes() -> None:
    done = session("leaky helper")
    assert done.verdict.healthy < 0.05
    named = {ref for one in done.verdict.groups[0].suspects for ref in one.parts}
    assert "Q5" in named
    assert len(done.readings) <= 8


def test_what_stands_in_parallel_is_parted_by_lifting_a_leg() -> None:
    """Two 10 k side by side: 8.2 k may be either of them, drifted."""
    last = session("twins").told[-1]
    named = {
        ref for one in session("twins").verdict.groups[0].suspects for ref in one.parts
    }
    assert {"R1", "R2"} <= named
    assert "lift" in last.words
    assert last.proposals
    for one in last.proposals:
        assert any(isinstance(change, Cut) for change in one.condition.changes)
        assert one.bits > 0


def test_a_lifted_leg_costs_more_than_a_probe() -> None:
    plain = advice(TWINS).proposals[0].cost
    assert all(one.cost > plain for one in session("twins").told[-1].proposals)


def test_a_rail_that_nobody_measured_is_measured_first() -> None:
    found = advice("ground COM\nrail P12 12V\nR1 1k P12 -- A\nQ1 npn b=A c=P12 e=COM\n")
    first = found.proposals[0]
    assert {first.probe.red, first.probe.black} == {"P12", "COM"}
    assert "rest P12 -- COM" in first.words


def test_what_is_a_slip_or_a_fault_is_asked_for_again() -> None:
    """OL where 47 k should be: a tip off its pad, or the resistor open."""
    text = "ground COM\nR1 1k A -- B\nR2 47k B -- COM\n"
    readings = [
        Reading("B", "COM", Mode.OHMS, Shown.OPEN),
        Reading("A", "B", Mode.OHMS, 1.003e3, 1.0),
    ]
    assert 0.1 < verdict(text, readings).healthy < 0.9
    asked = {frozenset(one.probe[:2]) for one in advice(text, readings).proposals}
    assert asked & {frozenset({"B", "COM"}), frozenset({"A", "COM"})}
