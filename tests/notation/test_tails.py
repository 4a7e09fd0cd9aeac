"""The bench's condition, on a reading or from the command line."""

import pytest

from tracegraph.notation.parser import parse_tail
from tracegraph.notation.syntax import Tail, Word


def said(words: tuple[Word, ...]) -> list[str]:
    return [word.text for word in words]


def condition(text: str) -> Tail:
    found, problems = parse_tail(text)
    assert problems == ()
    return found


def test_nothing_said_is_the_board_as_it_is() -> None:
    assert condition("") == Tail()
    assert condition("  \n ") == Tail()


@pytest.mark.parametrize(
    "text", ["without Q13 Q12", "WITHOUT Q13, Q12", "without Q13,Q12"]
)
def test_parts_out_of_their_holes(text: str) -> None:
    assert said(condition(text).without) == ["Q13", "Q12"]


def test_everything_at_once_in_any_order() -> None:
    found = condition(
        "after 10 s in drive joined GATE,COM joined A B lifted R14.1 R15.2"
        " with C99 3n3 IN -- COM unplugged J3 without Q13 with D9 diode A -> B"
    )
    assert found.after
    assert found.state
    assert (found.after.text, found.state.text) == ("10s", "drive")
    assert [said(nets) for nets in found.joined] == [["GATE", "COM"], ["A", "B"]]
    assert said(found.lifted) == ["R14.1", "R15.2"]
    assert said(found.unplugged) == ["J3"]
    assert said(found.without) == ["Q13"]
    assert [part.ref.text for part in found.fitted] == ["C99", "D9"]
    stand_in = found.fitted[0]
    assert said(stand_in.words) == ["3n3"]
    assert stand_in.ends
    assert stand_in.ends.left.text == "IN"


def test_a_state_and_nets_may_be_called_like_keywords() -> None:
    found = condition("joined IN WITHOUT in after after 2s")
    assert [said(nets) for nets in found.joined] == [["IN", "WITHOUT"]]
    assert found.state
    assert found.after
    assert (found.state.text, found.after.text) == ("after", "2s")


@pytest.mark.parametrize(
    ("text", "code", "mark"),
    [
        ("without", "missing-part", ""),
        ("without GATE", "missing-part", "GATE"),
        ("witout Q13", "misspelt", "witout"),
        ("lifted GATE", "missing-pin", "GATE"),
        ("joined GATE", "missing-net", ""),
        ("Q13", "puzzling-word", "Q13"),
        ("with C99 3n3 GATE--COM", "glued-arrow", "GATE--COM"),
        ("with C99 3n3 A -- B C -- D", "said-twice", "C -- D"),
        ("🙂", "odd-net", "🙂"),
        ('without "Q13', "open-quote", '"Q13'),
    ],
)
def test_a_slip_in_a_condition(text: str, code: str, mark: str) -> None:
    found, (problem,) = parse_tail(text)
    assert found == Tail()
    assert problem.code == code
    assert problem.span
    assert text[problem.span.column - 1 : problem.span.end - 1] == mark
