"""The public face: few names, listed, documented, cheap to import."""

import inspect
import subprocess
import sys
from pathlib import Path

import pytest

import tracegraph
from tracegraph.asking import api

ROOT = Path(__file__).parents[1]
FILE = ROOT / "examples" / "treadmill-gate-drive.trace"


def test_what_is_listed_is_sorted_and_all_there() -> None:
    assert tracegraph.__all__ == sorted(tracegraph.__all__)
    assert dir(tracegraph) == tracegraph.__all__
    for name in tracegraph.__all__:
        assert getattr(tracegraph, name).__name__ == name


@pytest.mark.parametrize("name", tracegraph.__all__)
def test_every_public_name_is_documented(name: str) -> None:
    thing = getattr(tracegraph, name)
    assert inspect.getdoc(thing)
    assert not (inspect.getdoc(thing) or "").startswith(f"{name}(")


@pytest.mark.parametrize(
    "name",
    [
        "read",
        "compared",
        "expect",
        "next_reading",
        "sheet",
        "suspects",
        "svg",
    ],
)
def test_every_public_function_is_typed(name: str) -> None:
    function = getattr(tracegraph, name)
    signature = inspect.signature(function)
    assert signature.return_annotation is not inspect.Signature.empty
    for parameter in signature.parameters.values():
        assert parameter.annotation is not inspect.Parameter.empty


def test_an_unknown_name_is_an_ordinary_mistake() -> None:
    with pytest.raises(AttributeError, match="no attribute 'guess'"):
        _ = tracegraph.guess


def test_importing_the_package_loads_no_library() -> None:
    code = (
        "import sys, tracegraph\n"
        "heavy = {'numpy', 'lark', 'click', 'rich', 'networkx', 'graphviz'}\n"
        "heavy = (heavy | {'tracegraph.stage.stage'}) & set(sys.modules)\n"
        "sys.exit(', '.join(heavy) or 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=False)
    assert done.returncode == 0


def test_a_path_and_its_text_give_the_same_section() -> None:
    from_path = tracegraph.read(FILE)
    from_name = tracegraph.read(str(FILE))
    from_text = tracegraph.read(FILE.read_text("utf-8"))
    assert from_path.parts == from_name.parts == from_text.parts


def test_a_file_that_is_not_there_is_an_error() -> None:
    with pytest.raises(tracegraph.UnreadableError, match="there is no file"):
        tracegraph.read("nowhere.trace")


def test_python_asks_as_the_command_does() -> None:
    stage = tracegraph.read(FILE)
    answers = tracegraph.expect(stage, "gate", "com")
    assert {(one.red, one.black) for one in answers} == {
        ("GATE", "COM"),
        ("COM", "GATE"),
    }
    assert {one.mode.value for one in answers} == {"ohms", "diode", "beep"}


def test_a_mode_narrows_the_question_to_one_reading() -> None:
    stage = tracegraph.read(FILE)
    (one,) = tracegraph.expect(stage, "GATE", "COM", "diode")
    assert (one.red, one.black, one.mode) == ("GATE", "COM", tracegraph.Mode.DIODE)


def test_the_bench_is_told_in_the_words_of_the_notation() -> None:
    stage = tracegraph.read(FILE)
    (one,) = tracegraph.expect(stage, "GATE", "COM", "ohms", without="R27")
    assert one.parts != ("R27",)
    with pytest.raises(tracegraph.BenchError, match="no part R99"):
        tracegraph.expect(stage, "GATE", "COM", "ohms", without="R99")


def test_a_part_alone_asks_over_its_own_pins() -> None:
    stage = tracegraph.read(FILE)
    answers = tracegraph.expect(stage, "Q23", mode="diode")
    pins = {f"Q23.{pin}" for pin in ("b", "c", "e")}
    assert {one.red for one in answers} == {one.black for one in answers} == pins
    assert len(answers) == 6


@pytest.mark.parametrize(
    ("points", "said"),
    [
        (("GATE",), "GATE is a net"),
        (("GAET", "COM"), "did you mean GATE"),
        (("Q23", "COM"), "Q23 is a part"),
    ],
)
def test_a_point_that_is_none_is_an_error(points: tuple[str, ...], said: str) -> None:
    with pytest.raises(tracegraph.PointError, match=said):
        tracegraph.expect(tracegraph.read(FILE), *points)


def test_a_sheet_is_as_long_as_asked() -> None:
    rows = tracegraph.sheet(tracegraph.read(FILE), short=5)
    assert len(rows) == 5
    assert all(isinstance(row, tracegraph.SheetRow) for row in rows)


def test_the_functions_are_those_of_the_api_module() -> None:
    assert tracegraph.expect is api.expect
