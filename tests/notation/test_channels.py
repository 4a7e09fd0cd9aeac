"""A channel opens and closes; what is missing is said once and put in."""

from tracegraph.notation.parser import Parsed, parse
from tracegraph.notation.source import from_text


def read(text: str) -> Parsed:
    return parse(from_text("bench.trace", text))


def shape(found: Parsed) -> list[str]:
    return [type(line).__name__.removesuffix("Line") for line in found.statements]


def places(found: Parsed) -> list[tuple[str, int]]:
    return [(p.code, p.span.line) for p in found.problems if p.span]


def test_a_closed_channel_is_fine() -> None:
    found = read("channel U\nR1 1k A -- B\nend\nchannel V like U R1=R2\n")
    assert shape(found) == ["Channel", "Part", "End", "Like"]
    assert found.problems == ()


def test_a_channel_that_is_never_closed_closes_at_the_end() -> None:
    found = read("channel U\nR1 1k A -- B\n")
    assert shape(found) == ["Channel", "Part", "End"]
    assert places(found) == [("missing-end-line", 1)]


def test_the_next_channel_closes_the_one_before() -> None:
    found = read("channel U\nR1 1k A -- B\nchannel V\nR2 1k C -- D\nend\n")
    assert shape(found) == ["Channel", "Part", "End", "Channel", "Part", "End"]
    assert places(found) == [("missing-end-line", 1)]


def test_an_end_with_nothing_open_is_left_out() -> None:
    found = read("channel V like U R1=R2\nend\n")
    assert shape(found) == ["Like"]
    assert places(found) == [("extra-end-line", 2)]


def test_the_end_of_an_unreadable_channel_is_not_blamed() -> None:
    found = read('channel "U"\nR1 1k A -- B\nend\nend\n')
    assert shape(found) == ["Part"]
    assert places(found) == [("missing-name", 1), ("extra-end-line", 4)]
