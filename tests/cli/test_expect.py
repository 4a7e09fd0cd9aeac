"""`tracegraph expect`: every example's questions, and how a question may be put."""

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run

GATE = "examples/treadmill-gate-drive.trace"
# The questions that the examples themselves propose.
TRIED = [
    (path.stem, *words.split())
    for path in sorted((ROOT / "examples").glob("*.trace"))
    for words in re.findall(
        r"^# +(?:Try: +)?tracegraph expect +\S+\.trace (.+)$",
        path.read_text("utf-8"),
        re.MULTILINE,
    )
]
ODD = """\
ground 0V
rail +15 15V
rail -8 -8V
rest +15 -- 0V none
rest -8 -- 0V none
R1 4k7 +15 -- OUT
R2 1k OUT -- 0V
R3 2k2 -8 -- OUT
"""
Board = Callable[[str], Path]


@pytest.mark.parametrize("question", TRIED, ids="-".join)
def test_what_an_example_proposes_to_ask(
    run: Run, golden: Callable[[str, str], None], question: tuple[str, ...]
) -> None:
    name, *words = question
    done = run("expect", f"examples/{name}.trace", *words)
    assert (done.code, done.err) == (0, "")
    asked = "-".join(words).replace("--", "").replace("+", "plus")
    golden(f"cli/expect-{name}-{asked}.txt", done.out)


def test_every_example_proposes_at_least_a_part_and_two_pairs() -> None:
    for name in {name for name, *_ in TRIED}:
        assert len([words for one, *words in TRIED if one == name]) >= 2


def test_a_machine_gets_a_bare_list(run: Run) -> None:
    told = json.loads(run("expect", GATE, "GATE", "COM", "--json").out)
    asked = {(one["red"], one["black"], one["mode"]) for one in told}
    assert asked == {
        (red, black, mode)
        for red, black in (("GATE", "COM"), ("COM", "GATE"))
        for mode in ("ohms", "diode", "beep")
    }
    first = told[0]
    assert (first["red"], first["mode"], first["unit"]) == ("GATE", "ohms", "ohm")
    assert first["low"] <= first["value"] <= first["high"]
    assert first["worst_low"] <= first["low"]
    assert first["high"] <= first["worst_high"]
    assert first["residual"] < 1e-9


def test_one_mode_is_one_reading(run: Run) -> None:
    (one,) = json.loads(
        run("expect", GATE, "COM", "GATE", "--mode", "DIODE", "--json").out
    )
    assert (one["red"], one["black"], one["mode"]) == ("COM", "GATE", "diode")


def test_capacitance_is_asked_where_a_capacitor_lies_across(run: Run) -> None:
    welder = "examples/welder-igbt-driver.trace"
    told = json.loads(run("expect", welder, "EM", "VN", "--json").out)
    assert {one["mode"] for one in told} == {"ohms", "diode", "beep", "cap"}


def test_names_may_be_in_any_case(run: Run) -> None:
    assert (
        run("expect", GATE, "gate", "Com").out == run("expect", GATE, "GATE", "COM").out
    )


def test_a_pin_may_stand_for_a_net(run: Run) -> None:
    told = run("expect", GATE, "q24.g", "COM", "--mode", "ohms").out
    assert "Red on Q24.g, black on COM" in told
    assert "22 k" in told


@pytest.mark.parametrize(
    "words",
    [
        ("-8", "OUT"),
        ("-8", "OUT", "--mode", "ohms"),
        ("--mode", "ohms", "-8", "out"),
        ("--mode=ohms", "--", "-8", "OUT"),
        ("OUT", "-8", "--joined", "-8,0V"),
        ("+15", "0V", "--joined", "+15,-8"),
    ],
)
def test_nets_may_begin_with_a_sign(
    run: Run, board: Board, words: tuple[str, ...]
) -> None:
    done = run("expect", board(ODD), *words)
    assert (done.code, done.err) == (0, "")


def test_a_word_with_a_dash_that_is_no_net_is_an_option_unknown(
    run: Run, board: Board
) -> None:
    done = run("expect", board(ODD), "-9", "OUT")
    assert done.code == 2
    assert "there is no option -9, and no net of that name" in done.err


def test_a_lost_line_is_told_above_the_answer(run: Run, board: Board) -> None:
    done = run("expect", board(f"{ODD}R9 4k7zz OUT -- 0V\n"), "OUT", "0V")
    assert done.code == 1
    assert "Line 9 is not understood in full and left out." in done.err
    assert "R9 4k7zz OUT -- 0V" in done.err
    assert "Red on OUT, black on 0V" in done.out


def test_doubts_are_not_told_beside_an_answer(run: Run, board: Board) -> None:
    done = run("expect", board("ground A\nR1 470 A -- B\nR2 1k A -- B\n"), "A", "B")
    assert (done.code, done.err) == (0, "")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--without", "R3"), "without R3"),
        (("--without", "R3,R2"), "without R3, without R2"),
        (("--lifted", "R3.1"), "lifted R3.1"),
        (("--joined", "OUT,0V"), "joined OUT 0V"),
        (("--with", "C99 3n3 OUT -- 0V"), "with C99"),
        (("--after", "10s"), "after 10 s"),
    ],
)
def test_the_bench_is_told_by_options(
    run: Run, board: Board, words: tuple[str, ...], told: str
) -> None:
    done = run("expect", board(ODD), "+15", "0V", "--mode", "ohms", *words)
    assert (done.code, done.err) == (0, "")
    assert told in done.out


def test_a_part_that_is_out_changes_the_reading(run: Run, board: Board) -> None:
    asked = ("OUT", "0V", "--mode", "ohms", "--json")
    path = board(ODD)
    (fitted,) = json.loads(run("expect", path, *asked).out)
    (out,) = json.loads(run("expect", path, *asked, "--without", "R2").out)
    assert fitted["value"] == pytest.approx(1000, rel=0.01)
    assert out["value"] is None
    assert out["display"] == "OL"


def test_an_own_meter_beside_the_section_is_found(
    run: Run, board: Board, tmp_path: Path
) -> None:
    (tmp_path / "mine.trace").write_text(
        'meter "yellow one"\n'
        "  ohms 2k open 0.3V behind 1k\n"
        "  beep open 1V behind 1k below 40R\n",
        "utf-8",
    )
    asked = ("expect", board(ODD), "OUT", "0V")
    by_name = run(*asked, "--meter", "Yellow One")
    by_path = run(*asked, "--meter", tmp_path / "mine.trace")
    assert by_name.out == by_path.out
    assert "meter yellow one" in by_name.out
    assert "The meter yellow one has no diode range." in by_name.out


def test_a_part_says_what_a_pass_does_not_prove(run: Run) -> None:
    out = run("expect", GATE, "q24").out
    assert "What a pass does not prove" in out
    assert "gate oxide" in out


def test_a_package_is_all_its_units(run: Run) -> None:
    charger = "examples/charger-flyback-primary.trace"
    told = json.loads(run("expect", charger, "T61", "--mode", "ohms", "--json").out)
    assert {one["red"].rpartition(".")[0] for one in told} == {"T61.pri", "T61.aux"}


def test_a_combination_of_inputs_is_a_state_where_none_is_declared(
    run: Run, board: Board
) -> None:
    path = board("ground G\nrail P5 5V\ninput A 0V / 5V\nR1 1k A -- B\nR2 1k B -- G\n")
    told = run("expect", str(path), "B", "G", "--in", "a=HIGH")
    assert told.code == 0
    assert "Powered, in A=high" in told.out
    assert "2.4" in told.out  # half of 5 V behind 50R more, and a meter on it
