"""The next reading: points, bench, and what each display would mean."""

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.views.verdicts import ADVICE, DONE, LIFTED, PLAIN, POWERED
from tracegraph.asking.api import read
from tracegraph.diagnose.verdict import Advice, Proposal
from tracegraph.views.letters import plain_letters
from tracegraph.views.next_page import next_page, probe_words
from tracegraph.views.plain import plain_text

Golden = Callable[[str, str], None]
STAGE = read(Path(__file__).parents[2] / "examples" / "treadmill-gate-drive.trace")


def told(advice: Advice) -> str:
    return plain_text(next_page(STAGE, advice, ("HV+ stands at 320 V. Unplug.",)))


def flat(*proposals: Proposal) -> str:
    return " ".join(told(Advice(proposals, "", done=False)).split())


def test_the_whole_page(golden: Golden) -> None:
    golden("views/next.txt", told(ADVICE))


def test_nothing_in_place_tells_more(golden: Golden) -> None:
    golden("views/next-done.txt", told(DONE))


@pytest.mark.parametrize(
    ("one", "words"),
    [
        (PLAIN, "Diode test: red on GATE, black on COM"),
        (LIFTED, "Ohms: red on R26.1, black on COM, lifted R26.1"),
        (POWERED, "Volts: red on GATE, black on COM, powered, in run"),
    ],
)
def test_a_probe_names_points_and_bench(one: Proposal, words: str) -> None:
    assert probe_words(one) == words
    assert words in flat(one)


def test_the_points_are_found_by_their_pins() -> None:
    assert "GATE: R26.2, R27.1, Q24.g" in flat(PLAIN)
    assert "COM: R22.2, Q21.e, R25.2, Q23.c, R27.2, R28.2" in flat(PLAIN)
    assert "R26.1: the lifted leg itself" in flat(LIFTED)
    pin = PLAIN._replace(probe=PLAIN.probe._replace(red="Q24.g"))
    assert "Q24.g: on GATE, with R26.2, R27.1" in flat(pin)


def test_a_live_reading_comes_with_its_caution() -> None:
    assert "CAUTION: A reading marked as powered is taken on the live board" in flat(
        POWERED
    )
    assert "on the live board" in flat(PLAIN, POWERED)
    assert "live board" not in flat(PLAIN)


def test_a_healthy_display_is_called_so() -> None:
    assert "healthy: as it should be" in flat(PLAIN)
    assert "14.3 V 80 % healthy" in flat(POWERED)


@pytest.mark.parametrize("advice", [ADVICE, DONE])
def test_it_fits_a_terminal(advice: Advice) -> None:
    text = told(advice)
    assert max(map(len, text.splitlines())) <= 80
    assert plain_letters(text).isascii()
