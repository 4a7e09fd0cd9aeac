"""Each known mistake gets its own hint, at the place where it was made."""

import re

import pytest

from tests.every import of_every
from tracegraph.diagnostics import Problem, Severity
from tracegraph.notation.mistakes.record import Mistake
from tracegraph.notation.mistakes.stops import MISTAKES
from tracegraph.notation.parser import parse
from tracegraph.notation.source import from_text


def problem(text: str) -> Problem:
    """Return the only thing that is wrong with a text."""
    (found,) = parse(from_text("bench.trace", text)).problems
    return found


def marked(line: str) -> str:
    """Return what the message's mark stands under; empty for the line's end."""
    span = problem(line).span
    assert span
    return line[span.column - 1 : span.end - 1]


CASES = [(mistake, line) for mistake in MISTAKES for line in mistake.lines]


@of_every(CASES)
def test_a_known_mistake_gets_its_hint(case: tuple[Mistake, str]) -> None:
    mistake, line = case
    for before in ("", "ground COM\n", "\n  "):
        found = problem(before + line)
        assert (found.code, found.hint) == (mistake.code, mistake.hint)
        assert found.severity is Severity.ERROR
        assert "{" not in found.message


MESSAGES = [
    # what was written, code, what is marked, what was meant
    ("R1 1k PWM--B1", "glued-arrow", "PWM--B1", "write: R1 1k PWM -- B1"),
    ("R1 1k PWM --B1", "glued-arrow", "--B1", "write: R1 1k PWM -- B1"),
    ("D1 diode N1->DRV # x", "glued-arrow", "N1->DRV", "write: D1 diode N1 -> DRV"),
    ("chain A--R1 1k--B", "glued-arrow", "A--R1", "write: chain A -- R1 1k -- B"),
    ('R1 A--B marked "a--b"', "glued-arrow", "A--B", 'write: R1 A -- B marked "a--b"'),
    ("R1 1k A→B", "glued-arrow", "A→B", "write: R1 1k A -> B"),
    ("R1 1k A --> B", "odd-arrow", "-->", "write: R1 1k A -> B"),
    ("R1 1k A <-> B", "odd-arrow", "<->", "write: R1 1k A -- B"),
    ("R1 1k A --- B", "odd-arrow", "---", "write: R1 1k A -- B"),
    ("R1 1k A - B", "odd-arrow", "-", "A -- B for a part that conducts both ways"),
    ('note "bought', "open-quote", '"bought', 'close it: "bought"'),
    ("R1 A -- B “470", "open-quote", "“470", 'close it: "470"'),
    ("R1 1k A -- B (hot)", "stray-remark", "(hot)", 'or in note "hot"'),
    ("R1 1k A -- B // hot", "stray-remark", "//", 'or in note "hot"'),
    ("note hello", "bare-note", "note", 'write: note "..."'),
    ("R1 1k A -- B note hot", "bare-note", "note", 'write: note "..."'),
    ("grund COM", "misspelt", "grund", "did you mean `ground`?"),
    ("rial P12", "misspelt", "rial", "did you mean `rail`? write: rail P12 12V 5%"),
    ("GATE jions Q13.g", "misspelt", "jions", "did you mean `joins`?"),
    ("diode A B 1 witout Q1", "misspelt", "witout", "did you mean `without`?"),
    ("inptu PWM 0V / 5V", "misspelt", "inptu", "did you mean `input`?"),
    ("chanel U", "misspelt", "chanel", "did you mean `channel`?"),
    ("readngs", "misspelt", "readngs", "did you mean `readings`?"),
    ("Rg 22R DRV -- GATE", "no-designator", "Rg", "letters, then digits: Rg1"),
    ("R10A 1k A -- B", "no-designator", "R10A", "R10.A for a unit of R10"),
    ("foo bar", "unknown-line", "foo", "a line begins with a designator"),
    ("joins Q1.b", "unknown-line", "joins", "write: GATE joins Q13.g"),
    ("R1 1k GATE! -- B", "odd-net", "GATE!", "holds letters, digits and _ + - / # ~"),
    ("R1 1k A -- B*", "odd-net", "B*", "holds letters, digits and _ + - / # ~"),
    ("GATE! joins Q1.g", "odd-net", "GATE!", "holds letters, digits and _ + - / # ~"),
    ("Q1 npn b=N1! e=E", "odd-net", "N1!", "write b=NET"),
    ("chain A -- ?", "odd-net", "?", "holds letters, digits and _ + - / # ~"),
    ("R1 1k -- B", "missing-end", "1k", "write: R1 1k NET -- NET"),
    ("R1 A -- B 1k C -- D", "said-twice", "C -- D", "write two lines"),
    ('R1 marked "1" marked "2"', "said-twice", 'marked "2"', "write two lines"),
    ("input A 0 / 5 7 / 8", "said-twice", "/", "write: input PWM 0V / 5V"),
    ("chain A -- 1k R1 -- B", "nameless-station", "1k", "begins with its designator"),
    ("channel V like U except R1 2k R2 3k", "missing-comma", "R2", ", R2"),
    ("rail P12", "missing-voltage", "", "write: rail P12 12V"),
    ("R1 1k A -- B -- C", "three-ends", "--", "begin the line with chain"),
    ("link A", "missing-net", "", "link A B"),
    ("channel U", "missing-end-line", "channel U", "write end behind"),
    ("end", "extra-end-line", "end", "leave it out"),
]


@pytest.mark.parametrize(("line", "code", "mark", "hint"), MESSAGES)
def test_one_message_at_the_right_place(
    line: str, code: str, mark: str, hint: str
) -> None:
    assert problem(line).code == code
    assert marked(line) == mark
    assert hint in problem(line).hint


def test_every_message_is_in_the_words_of_the_trade() -> None:
    texts = [*(line for line, *_ in MESSAGES), *(line for _, line in CASES)]
    jargon = re.compile(
        r"token|unexpected|pars|syntax|grammar|invalid|expected", re.IGNORECASE
    )
    for text in texts:
        found = problem(text)
        assert not jargon.search(found.message + found.hint), found
        assert found.hint
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", found.code)


def test_a_comment_is_not_part_of_the_slip() -> None:
    found = problem('R1 1k A -- B -- C   # A--B (old) "')
    assert found.code == "three-ends"


def test_the_end_of_a_line_is_just_behind_its_last_word() -> None:
    found = problem("  rail P12   # twelve volts")
    assert found.span is not None
    assert (found.span.column, found.span.end) == (11, 11)


def test_a_misspelt_range_of_a_meter_is_no_part() -> None:
    found = problem('meter "m"\n ohms 600R\n ohsm 6k open 0.4V\n')
    assert found.span is not None
    assert found.span.line == 3
    assert "ohms" in found.hint
