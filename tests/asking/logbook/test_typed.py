"""What is typed at the bench with the probes in the other hand."""

from collections.abc import Callable

import pytest

from tests.asking.logbook.benches import board
from tracegraph.asking.logbook.standing import after_event, lasting, standing_words
from tracegraph.asking.logbook.typed import (
    BenchNow,
    Trouble,
    Typed,
    Undo,
    Wanted,
    typed,
)
from tracegraph.stage.reading import (
    AS_IT_LIES,
    Condition,
    Deed,
    Event,
    Mode,
    Reading,
    Shown,
)
from tracegraph.views.problems import problems_text

PROPOSED = Wanted("GATE", "COM", Mode.DIODE)


def at_the_bench(text: str, bench: Condition = AS_IT_LIES) -> Typed:
    return typed(board(), text, PROPOSED, bench)


def standing(*texts: str) -> Condition:
    """Return how the bench stands after all this was typed."""
    bench = AS_IT_LIES
    for text in texts:
        found = at_the_bench(text, bench)
        assert isinstance(found, BenchNow)
        bench = found.condition
    return bench


@pytest.mark.parametrize(
    ("text", "red", "black", "mode", "shown"),
    [
        ("612", "GATE", "COM", "diode", 0.612),
        (" .612 ", "GATE", "COM", "diode", 0.612),
        ("0,612", "GATE", "COM", "diode", 0.612),
        ("ol", "GATE", "COM", "diode", Shown.OPEN),
        ("1", "GATE", "COM", "diode", Shown.OPEN),
        ("b", "GATE", "COM", "beep", Shown.BEEP),
        ("no beep", "GATE", "COM", "beep", Shown.SILENT),
        ("unsteady", "GATE", "COM", "diode", Shown.UNSTEADY),
        ("GATE N1 612", "GATE", "N1", "diode", 0.612),
        ("gate r14.1 612", "GATE", "R14.1", "diode", 0.612),
        ("com gate 1.26", "COM", "GATE", "diode", 1.26),
        ("diode GATE COM 0.612", "GATE", "COM", "diode", 0.612),
        ("ohms R14.1 COM 4k7", "R14.1", "COM", "ohms", 4700),
        ("Ω B1 COM 12 k", "B1", "COM", "ohms", 12000),
        ("r 4k7", "GATE", "COM", "ohms", 4700),
        ("ohms 22 k", "GATE", "COM", "ohms", 22000),
        ("ohms > 20M", "GATE", "COM", "ohms", 20e6),
        ("ohms climbs 2k", "GATE", "COM", "ohms", Shown.CLIMBS),
        ("beep N1 COM n", "N1", "COM", "beep", Shown.SILENT),
        ("beep b", "GATE", "COM", "beep", Shown.BEEP),
        ("cap 2.2n", "GATE", "COM", "cap", 2.2e-9),
        ("612 # once more", "GATE", "COM", "diode", 0.612),
    ],
)
def test_a_reading_says_only_what_differs_from_what_was_proposed(
    text: str, red: str, black: str, mode: str, shown: float | Shown
) -> None:
    found = at_the_bench(text)
    assert isinstance(found, Reading)
    assert (found.red, found.black, found.mode) == (red, black, mode)
    assert found.shown == (shown if isinstance(shown, Shown) else pytest.approx(shown))
    assert found.condition == AS_IT_LIES


def test_a_reading_is_taken_with_the_bench_as_it_stands() -> None:
    bench = standing("lifted R14.1")
    found = at_the_bench("612 without Q13 joined GATE COM", bench)
    assert isinstance(found, Reading)
    assert standing_words(board(), found.condition) == (
        "without Q13 lifted R14.1 joined GATE COM"
    )
    assert standing_words(board(), lasting(found.condition)) == (
        "without Q13 lifted R14.1"
    )


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("N1 COM", Wanted("N1", "COM", Mode.DIODE)),
        ("ohms N1 COM", Wanted("N1", "COM", Mode.OHMS)),
        ("ohms", Wanted("GATE", "COM", Mode.OHMS)),
        ("d", Wanted("GATE", "COM", Mode.DIODE)),
    ],
)
def test_a_pair_or_a_mode_alone_is_where_the_probes_go(
    text: str, wanted: Wanted
) -> None:
    assert at_the_bench(text) == wanted


@pytest.mark.parametrize("text", ["u", "undo", "UNDO"])
def test_undo_is_one_key(text: str) -> None:
    assert at_the_bench(text) == Undo()


@pytest.mark.parametrize(
    ("text", "deed", "target"),
    [
        ("replaced Q12 pnp", Deed.REPLACED, ("Q12",)),
        ("Removed Q13", Deed.REMOVED, ("Q13",)),
        ("fitted D12", Deed.FITTED, ("D12",)),
        ("cut link DRV B1", Deed.CUT_LINK, ("DRV", "B1")),
    ],
)
def test_events_are_typed_as_the_log_has_them(
    text: str, deed: Deed, target: tuple[str, ...]
) -> None:
    found = at_the_bench(text)
    assert isinstance(found, Event)
    assert (found.deed, found.target) == (deed, target)


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        (("lifted R14.1",), "lifted R14.1"),
        (("lifted R14.1", "lifted r14.1"), "lifted R14.1"),
        (("lifted R14.1", "without Q13"), "without Q13 lifted R14.1"),
        (("lifted R14.1", "refit R14.1"), ""),
        (("lifted R14.1", "refit R14"), ""),
        (("lifted R14.1", "without Q13", "refit q13"), "lifted R14.1"),
        (("unplugged J1", "lifted R14.1", "refit J1"), "lifted R14.1"),
        (("unplugged SW", "refit SW"), ""),
        (("with C99 3n3 GATE -- COM", "refit C99"), ""),
        (("without Q13 lifted R14.1", "refit Q13 R14.1"), ""),
        (("without Q13", "lifted R14.1", "refit"), ""),
        (("in stop",), "in stop"),
        (("in stop", "cold"), ""),
    ],
)
def test_what_is_done_on_the_bench_holds_until_it_is_put_back(
    texts: tuple[str, ...], words: str
) -> None:
    assert standing_words(board(), standing(*texts)) == words


def test_a_part_that_was_replaced_has_no_leg_in_the_air() -> None:
    bench = standing("lifted R14.1 R15.1", "without Q12")
    found = at_the_bench("replaced R14 22R")
    assert isinstance(found, Event)
    after = after_event(board(), bench, found)
    assert standing_words(board(), after) == "without Q12 lifted R15.1"


TROUBLES = (
    *("GAET COM 612", "diode GATE CMO 0.6", "61x2", "diode GATE COM 22k", "ohms -4k7"),
    *("lifted R14.7", "lift R14.1", "without Q99", "removed Q99", "replaced", "in run"),
    *("refit R14.1", "612 whithout Q13", "612 lifted R99.1", "hello", "612 613", ""),
    *("GATE 612", "r", "?", '"'),
)


def test_what_cannot_be_understood_is_answered_with_what_was_meant(
    golden: Callable[[str, str], None],
) -> None:
    text = ""
    for line in TROUBLES:
        found = at_the_bench(line)
        text += f"> {line}\n"
        if isinstance(found, Trouble):
            assert found.problems
            for problem in found.problems:
                if problem.span:
                    assert problem.span.end <= len(line) + 2
            text += problems_text(found.problems, found.source) + "\n\n"
        else:
            text += f"  {type(found).__name__}\n\n"
    golden("logs/typed.txt", text)


def test_without_a_proposal_the_line_names_all() -> None:
    assert isinstance(typed(board(), "612"), Trouble)
    assert isinstance(typed(board(), "GATE COM 612"), Trouble)
    assert isinstance(typed(board(), "diode GATE COM 612"), Reading)
