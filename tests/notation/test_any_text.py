"""Whatever is written, it is read or said to be wrong: never a crash."""

import string

from hypothesis import example, given, settings
from hypothesis import strategies as st

from tracegraph.diagnostics import Problem, Span
from tracegraph.notation.lines import written
from tracegraph.notation.mistakes.usage import INNER, PART, RANGES, USAGE
from tracegraph.notation.parser import Parsed, parse, parse_tail
from tracegraph.notation.source import Source, from_text

GOOD = (PART, *USAGE.values(), *INNER.values(), 'stage "a"', "R1 470 k A -- B")
WORDS = sorted({word for line in GOOD for word in line.split()} | set(INNER) | RANGES)
ODD = [
    *("--", "->", "<-", "<->", "-", "–", "→", "=", "==", "=x", "x=", "/", ",", ",,"),
    *('"', "“", "”", '""', "#", "#x", "x#", "(", "?", "??", "> ", ">20M", "@", "%"),
    *("\0", "\t", "\v", "\u2028", "\xa0", "\ufeff", "🙂", "Ω", "\u2126", "µ", "\u03bc"),
    *(
        "İ",
        "ß",
        "٣",
        "²",
        "1e9",
        "-0",
        "+",
        ".",
        "..",
        "a.b.c",
        "1,2,3",
        "note",
        "NOTE",
    ),
]
pieces = st.sampled_from(WORDS) | st.sampled_from(ODD) | st.text(max_size=4)
lines = st.lists(pieces, max_size=9).map(" ".join) | st.lists(pieces, max_size=6).map(
    "".join
)
letters = st.characters() | st.sampled_from(string.printable)


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """Draw a good line with some of its characters left out, changed or doubled."""
    line = draw(st.sampled_from(GOOD))
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(line)))
        line = line[:at] + draw(letters) + line[at + draw(st.integers(0, 2)) :]
    return line


def lies_inside(span: Span, source: Source) -> bool:
    width = len(source.line(span.line))
    lines = source.text.count("\n") + 1
    return 1 <= span.line <= lines and 1 <= span.column <= span.end <= width + 1


def check(source: Source, found: Parsed) -> None:
    spans = [one.span for one in found.statements]
    spans += [problem.span for problem in found.problems if problem.span]
    assert len(spans) == len(found.statements) + len(found.problems)
    assert all(lies_inside(span, source) for span in spans)
    for problem in found.problems:
        assert problem.message
        assert problem.hint
    lines = {span.line for span in spans}
    assert {line.number for line in written(source)} - lines <= ends(source)


def ends(source: Source) -> set[int]:
    """Return the lines that may close a channel whose first line could not be read."""
    return {line.number for line in written(source) if line.plain.split()[0] == "end"}


@given(st.lists(lines | spoilt(), max_size=6))
@settings(max_examples=300, deadline=None)
@example(['meter "m"', "ohms = 3"])
@example(["channel", "end"])
@example(["R1 a= b=c", "b=", '"" joins Q1.b', 'note ""'])
def test_any_text_is_read_or_said_to_be_wrong(texts: list[str]) -> None:
    source = from_text("bench.trace", "\n".join(texts))
    check(source, parse(source))


@given(lines | spoilt())
@settings(max_examples=200, deadline=None)
def test_any_condition_is_read_or_said_to_be_wrong(text: str) -> None:
    found, problems = parse_tail(text)
    assert all(isinstance(problem, Problem) for problem in problems)
    for problem in problems:
        assert problem.span
        assert problem.span.line == 1
        assert 1 <= problem.span.column <= problem.span.end <= len(text) + 1
    assert found is not None


@given(st.lists(st.sampled_from(GOOD), min_size=1, max_size=8), st.data())
@settings(max_examples=100, deadline=None)
def test_a_bad_line_changes_no_other(good: list[str], data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(good)))
    text = [*good[:at], "R1 1k A--B", *good[at:]]
    bare = [*good[:at], "# R1 1k A--B", *good[at:]]
    with_it = parse(from_text("x", "\n".join(text)))
    without_it = parse(from_text("x", "\n".join(bare)))
    assert [type(line) for line in with_it.statements] == [
        type(line) for line in without_it.statements
    ]
    assert len(with_it.problems) == len(without_it.problems) + 1


@given(st.sampled_from(GOOD))
def test_case_and_blanks_do_not_matter(line: str) -> None:
    plain = parse(from_text("x", line))
    shouted = parse(from_text("x", f"  {line.upper()}\t\r\n"))
    assert [type(one) for one in plain.statements] == [
        type(one) for one in shouted.statements
    ]
