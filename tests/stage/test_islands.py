"""Nets that hang together, and those that only light or a field joins."""

from tracegraph.notation.source import from_text
from tracegraph.stage.islands import islands
from tracegraph.stage.read import read


def found(text: str) -> tuple[tuple[str, ...], ...]:
    return islands(read(from_text("x", text)))


def test_an_optocoupler_joins_nothing() -> None:
    text = "ground A B\nR1 1k IN -- LED\nU1 opto a=LED k=A c=OUT e=B\nR2 1k OUT -- B\n"
    assert [set(nets) for nets in found(text)] == [{"IN", "LED", "A"}, {"OUT", "B"}]


def test_a_part_taken_out_joins_nothing() -> None:
    text = "ground A\nR1 1k A -- B\nR2 1k B -- C removed\n"
    assert [set(nets) for nets in found(text)] == [{"A", "B"}, {"C"}]


def test_a_link_and_a_measured_rest_join() -> None:
    text = "ground A\nR1 1k A -- B\nR2 1k C -- D\nlink B C\nrest D -- E 1k\n"
    assert [set(nets) for nets in found(text)] == [{"A", "B", "C", "D", "E"}]


def test_a_rest_of_none_joins_nothing() -> None:
    assert len(found("ground A\nR1 1k A -- B\nR2 1k C -- D\nrest B -- C none\n")) == 2
