"""`tracegraph legs`: at the terminal, from a script, for machines."""

import io
import json
from collections.abc import Callable

import pytest

from tests.cli.conftest import Run

PNP = "12=OL 21=0.656 13=OL 31=0.658 23=OL 32=OL"
NFET = "12=OL 21=0.48 13=OL 31=OL 23=OL 32=OL 12+3=0.001"
LEAKY = "12=0.658 21=0.658 13=0.593 31=0.593 23=0.833 32=0.833"
SHORT = "12=0 21=0 13=OL 31=OL 23=OL 32=OL"


class Keys(io.StringIO):
    """What a person types."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def typed(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Return a way to type at the terminal; then there is no more."""
    return lambda text: monkeypatch.setattr("sys.stdin", Keys(text))


@pytest.mark.parametrize(
    ("name", "readings", "code"),
    [
        ("pnp", PNP, 0),
        ("nfet", NFET, 0),
        ("leaky", LEAKY, 1),
        ("short", SHORT, 1),
        ("few", "12=OL 21=.6", 0),
    ],
)
def test_the_answer_is_a_sentence_and_tables(
    run: Run, golden: Callable[[str, str], None], name: str, readings: str, code: int
) -> None:
    done = run("legs", "--readings", readings)
    assert (done.code, done.err) == (code, "")
    assert max(map(len, done.out.splitlines())) <= 80
    golden(f"cli/legs-{name}.txt", done.out)


def test_a_machine_gets_kind_pins_and_health(run: Run) -> None:
    told = json.loads(run("legs", "--readings", NFET, "--json").out)
    (found,) = told["results"]
    assert (found["kind"], found["health"]) == ("N-channel MOSFET", "healthy")
    assert found["legs"] == {"1": "drain", "2": "source", "3": "gate"}
    assert found["next"] is None


def test_a_script_may_write_readings_to_its_input(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = "\n".join((*NFET.split(), "# of the dead channel"))
    monkeypatch.setattr("sys.stdin", io.StringIO(text))
    assert run("legs").out == run("legs", "--readings", NFET).out


def test_a_session_at_the_terminal(
    run: Run, golden: Callable[[str, str], None], typed: Callable[[str], None]
) -> None:
    typed("\n999999\n48\nu\n\nol\n.48\n0L\n\n\nq\n")
    done = run("legs")
    assert (done.code, done.err) == (0, "")
    golden("cli/legs-session.txt", done.out)


def test_an_end_of_input_is_polite(run: Run, typed: Callable[[str], None]) -> None:
    typed("")
    done = run("legs")
    assert done.code == 0
    assert "Nothing is known of this part yet." in done.out


def test_a_stop_is_polite(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    class Stopped(Keys):
        def readline(self, _size: int | None = -1, /) -> str:  # type: ignore[override]
            raise KeyboardInterrupt

    monkeypatch.setattr("sys.stdin", Stopped())
    assert "Nothing is known" in run("legs").out


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ("12", "write a reading as 12=0.655"),
        ("14=OL", "line 1: 14=OL: 14 names no reading"),
        ("12=zebra", "zebra is no display"),
        ("12=OL\n21=-0.6", "line 2: 21=-0.6: below zero"),
        ("12=2.9", "more than meter handheld shows"),
    ],
)
def test_what_is_no_reading_is_refused_by_its_line(
    run: Run, readings: str, words: str
) -> None:
    done = run("legs", "--readings", readings)
    assert done.code == 2
    assert words in done.err


def test_a_needle_meter_has_no_diode_test(run: Run) -> None:
    done = run("legs", "--readings", PNP, "--meter", "needle")
    assert done.code == 2
    assert "no diode test" in done.err


def test_a_meter_of_three_volts_answers_too(run: Run) -> None:
    done = run("legs", "--readings", NFET, "--meter", "three-volt")
    assert "N-channel MOSFET, healthy" in done.out
