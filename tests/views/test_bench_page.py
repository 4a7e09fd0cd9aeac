"""Screens of a session at the bench: few lines, and the next probe cannot be missed."""

from collections.abc import Callable

import pytest

from tests.asking.benchwork.scripts import LEG, played
from tests.views.verdicts import ADVICE, EMPTY, FOUND, HEALTHY, TRACING, UNEXPLAINED
from tracegraph.asking.benchwork.session import Session
from tracegraph.cli.bench import page_of
from tracegraph.diagnose.verdict import Verdict
from tracegraph.stage.reading import Condition
from tracegraph.views.bench_page import (
    bench_page,
    closing_page,
    help_page,
    judged_page,
    opening_page,
    question_page,
)
from tracegraph.views.letters import plain_letters
from tracegraph.views.page import Page
from tracegraph.views.plain import plain_text

Golden = Callable[[str, str], None]
Opened = Callable[..., Session]
SCRIPTS = {
    "readings": ("612", "", "ohms R26.1 COM 4k7", "u", "s", "s"),
    "benches": (
        *("lifted R26.1", "612", "", "612", "replaced R26", "u", "joined GATE COM"),
        *("in run", "cold", "SRC COM", "0.2"),
    ),
    "slips": ("GAET COM 612", "GATE 612", "foo", "612 whithout Q13", "22k", "lift R26"),
}
VERDICTS = (FOUND, TRACING, HEALTHY, UNEXPLAINED, EMPTY)


def text_of(*pages: Page) -> str:
    return plain_letters("".join(plain_text(page) for page in pages if page))


def screens(session: Session, *lines: str) -> str:
    """Return all that stands on the screen after these lines."""
    told = played(session, *lines)
    shown: list[str] = []
    for line, tidings in zip(("", *lines), told, strict=True):
        pages = [page_of(one, session.now.stage) for one in tidings]
        shown.append((f"> {line}\n" if shown else "") + text_of(*pages))
    return "".join(shown)


@pytest.mark.parametrize("name", SCRIPTS)
def test_a_session_as_it_is_seen(golden: Golden, opened: Opened, name: str) -> None:
    golden(f"bench/{name}.txt", screens(opened(ADVICE), *SCRIPTS[name]))


def test_a_leg_to_lift_comes_before_the_probe(opened: Opened) -> None:
    told = screens(opened(LEG))
    assert told.index("First: lift R26.1; then press enter.") < told.index("ohms")
    assert "First:" not in screens(opened(LEG), "").split("> \n")[1]


def test_power_comes_with_its_caution() -> None:
    assert "CAUTION: " in text_of(bench_page(Condition(power="run")))
    assert "CAUTION: " not in text_of(bench_page(Condition()))


@pytest.mark.parametrize("verdict", VERDICTS)
def test_a_verdict_between_two_probes_is_short(verdict: Verdict) -> None:
    reading = verdict.readings[-1] if verdict.readings else None
    told = text_of(judged_page(verdict, reading))
    assert len(told.splitlines()) <= 12


def test_everything_fits_a_terminal(opened: Opened) -> None:
    heed = ("HV+ stands at 320 V. " * 5,)
    pages = text_of(
        opening_page("treadmill", "left.readings.trace", 3, heed, new=False),
        question_page("diode GATE COM 0.6"),
        closing_page("left.readings.trace", 1),
        help_page(),
        *(judged_page(one, None) for one in VERDICTS),
    )
    every = screens(opened(ADVICE), *(line for one in SCRIPTS.values() for line in one))
    for text in (pages, every):
        assert max(map(len, text.splitlines())) <= 80
        assert text.isascii()
