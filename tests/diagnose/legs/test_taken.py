"""Displays as they are typed at the bench."""

import pytest

from tracegraph.diagnose.legs.step import step_of
from tracegraph.diagnose.legs.taken import UnreadableError, taken
from tracegraph.meter.profile_file import built_in
from tracegraph.stage.reading import Shown

METER = built_in()["handheld"]


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        (".482", 0.482),
        ("0,48", 0.48),
        ("482", 0.482),  # millivolts, as some meters show them
        ("0", 0.0),
        ("OL", Shown.OPEN),
        ("0L", Shown.OPEN),
        ("1", Shown.OPEN),
        ("", Shown.OPEN),  # Enter alone
        ("> 1.9", Shown.OPEN),
        ("b", Shown.BEEP),
    ],
)
def test_a_diode_display(typed: str, shown: float | Shown) -> None:
    assert taken(step_of("12"), typed, METER).shown == shown


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("abc", "no display"),
        ("-0.6", "below zero"),
        ("2.9", "more than meter handheld shows"),
        ("climbs", "when it rests"),
    ],
)
def test_what_the_meter_cannot_show_is_asked_again(typed: str, words: str) -> None:
    with pytest.raises(UnreadableError, match=words):
        taken(step_of("12"), typed, METER)
