"""The note on an expected reading: number first, every doubt once."""

from collections.abc import Callable
from dataclasses import replace

from tests.views.expectations import BEEP, FAILED, OPEN, PLAIN, REST_OPEN
from tracegraph.meter.expected import Bound, Expected
from tracegraph.stage.change import Cut, Remove
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Condition
from tracegraph.views.expected_page import expected_page
from tracegraph.views.plain import plain_text


def note(*answers: Expected) -> str:
    return plain_text(expected_page("belt motor", answers))


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_whole_note(golden: Callable[[str, str], None]) -> None:
    answers = (PLAIN, REST_OPEN, BEEP, FAILED, OPEN)
    page = expected_page("belt motor", answers, ["HV+ stands at 320 V. Unplug."])
    golden("views/expected.txt", plain_text(page))


def test_the_number_is_the_first_thing_of_its_line() -> None:
    line = next(one for one in note(PLAIN).splitlines() if "ohms" in one)
    assert line.split()[:2] == ["22", "k"]


def test_a_window_comes_with_the_limits_of_the_parts() -> None:
    text = flat(note(PLAIN))
    assert "21.7 to 22.3 k if healthy; 20.9 to 23.1 k at the very limits." in text


def test_cases_are_told_with_their_reasons() -> None:
    text = flat(note(REST_OPEN))
    assert "- 0.72 V (0.68 to 0.76 V): 1 k" in text
    assert "- OL: nothing else" in text


def test_what_to_do_is_said_once_for_all_readings() -> None:
    text = flat(note(REST_OPEN, replace(REST_OPEN, red="COM", black="GATE")))
    assert text.count("Measure P12-COM and write `rest P12 -- COM ...`.") == 1


def test_what_the_reading_is_blind_to_is_named() -> None:
    text = flat(note(REST_OPEN))
    assert "Not observable here: D81;" in text
    assert "If D11 were open it would not show here." in text


def test_a_bound_is_told_with_its_figure() -> None:
    text = flat(note(replace(PLAIN, bound=Bound.AT_MOST)))
    assert "At most 23.1 k: what is unknown can only lower it." in text


def test_a_failed_pair_is_no_number() -> None:
    text = note(FAILED)
    assert "no answer" in text
    assert "No answer was found between COM and GATE" in flat(text)


def test_the_bench_is_told_above_the_answer() -> None:
    changes = (Remove("Q13"), Cut(Pin("R14", "1")))
    condition = Condition(changes=changes, joined=(("GATE", "COM"),), after=10.0)
    text = note(replace(PLAIN, condition=condition))
    told = "Cold board, without Q13, lifted R14.1, joined GATE COM, after 10 s, meter"
    assert told in flat(text)
