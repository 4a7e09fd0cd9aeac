"""The diagnosis as a colleague tells it: verdict first, then why, then what to do."""

from collections.abc import Callable

import pytest

from tests.views.verdicts import (
    EMPTY,
    FIRST_GROUP,
    FOUND,
    HEALTHY,
    LEAKY,
    MISSED,
    TRACING,
    UNEXPLAINED,
)
from tracegraph.diagnose.verdict import Group, Verdict
from tracegraph.views.letters import plain_letters
from tracegraph.views.plain import plain_text
from tracegraph.views.suspects_page import suspects_page

Golden = Callable[[str, str], None]
HEED = ("HV+ stands at 320 V. Unplug, discharge, and measure.",)
EVERY = (FOUND, TRACING, HEALTHY, UNEXPLAINED, EMPTY)


def told(verdict: Verdict, *, every: bool = False) -> str:
    page = suspects_page("treadmill gate drive", verdict, HEED, every=every)
    return plain_text(page)


def flat(verdict: Verdict, *, every: bool = False) -> str:
    return " ".join(told(verdict, every=every).split())


@pytest.mark.parametrize(
    ("verdict", "name"),
    list(
        zip(EVERY, ("found", "tracing", "healthy", "unexplained", "empty"), strict=True)
    ),
    ids=lambda one: one if isinstance(one, str) else "",
)
def test_the_whole_page(golden: Golden, verdict: Verdict, name: str) -> None:
    golden(f"views/suspects-{name}.txt", told(verdict))


def test_with_all_that_is_counted_else(golden: Golden) -> None:
    golden("views/suspects-found-all.txt", told(FOUND, every=True))


@pytest.mark.parametrize("verdict", EVERY)
@pytest.mark.parametrize("every", [False, True])
def test_the_verdict_is_the_first_line_and_all_fit_a_terminal(
    verdict: Verdict, every: bool
) -> None:
    lines = told(verdict, every=every).splitlines()
    assert lines[1].lower().startswith(verdict.words[:40].lower())
    assert max(map(len, lines)) <= 80
    assert plain_letters("\n".join(lines)).isascii()


def test_suspects_that_read_the_same_stand_together() -> None:
    text = flat(FOUND)
    assert (
        "1. Very likely, 93 %: one of these, the same at the points taken so far"
        in text
    )
    assert "- Q23 leaky c-e, about 1.2 k (1.12 to 1.27 k)" in text
    assert "- a path of about 1.2 k between GD and COM that the file lacks For" in text
    assert "Nothing in place parts them: lift Q23.e." in text


def test_what_the_tracing_may_have_done_is_told_before_a_part_is_condemned() -> None:
    assert "It may be the tracing, too (13 % of this group)." in flat(FOUND)
    text = flat(TRACING)
    assert text.index("Check the tracing before") < text.index("beep GD to R99.1.")


def test_a_slip_is_told_as_one_where_its_words_do_not() -> None:
    swapped = MISSED._replace(words="Q21.b and Q21.c exchanged")
    text = flat(FOUND._replace(groups=(Group((swapped,), 0.9, ()),)))
    assert "1. Q21.b and Q21.c exchanged (the file, not the board): very" in text


def test_a_reading_that_says_nothing_is_no_evidence() -> None:
    assert "as expected" not in flat(FOUND)


def test_more_than_a_few_are_counted() -> None:
    many = FOUND._replace(
        groups=tuple(
            FIRST_GROUP._replace(suspects=(LEAKY,) * 8, chance=0.16) for _ in range(6)
        )
    )
    text = flat(many)
    assert text.count("and 3 more: --all tells them") == 4
    assert "And 2 groups more, 32 % in all: --all tells them." in text
    assert "more: --all" not in flat(many, every=True)
    assert "30 more" not in flat(HEALTHY)
    assert "R24 and 6 more." in flat(HEALTHY)


def test_what_no_reading_can_show_is_counted_and_named_on_request() -> None:
    assert "can show 2 faults: --all names them." in flat(FOUND)
    assert "- Q24 with a weak gate oxide." in flat(FOUND, every=True)


def test_without_readings_it_is_said_what_to_do() -> None:
    text = flat(EMPTY)
    assert "The first probe to set: tracegraph next FILE" in text
    assert 'readings "as it came in"' in text
