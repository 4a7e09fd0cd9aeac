"""The program that places: found without an activated environment, and kindly missed."""

import stat
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from pathlib import Path

import pytest

from tracegraph.draw import dot

ROOT = Path(__file__).parents[2]
GRAPH = "digraph { rankdir=LR; a -> b }"


@pytest.fixture(autouse=True)
def forget() -> Iterator[None]:
    """Let every test look for the program itself."""
    dot.program.cache_clear()
    yield
    dot.program.cache_clear()


@pytest.fixture
def nowhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Return an empty folder that alone is searched, as on a machine without `dot`."""
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sysconfig, "get_path", lambda _: str(tmp_path / "none"))
    monkeypatch.setattr(dot, "_recorded", lambda _: iter(()))
    return tmp_path


def script(path: Path, body: str) -> Path:
    """Write a program that stands in for `dot`."""
    path.write_text(f"#!{sys.executable}\nimport sys, time\n{body}\n", "utf-8")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return path


def test_nodes_are_placed_left_to_right() -> None:
    answer = dot.placed(GRAPH)
    places = {one["name"]: one["pos"] for one in answer["objects"]}
    assert float(places["a"].split(",")[0]) < float(places["b"].split(",")[0])


def test_ports_of_a_table_are_understood() -> None:
    row = '<<table><tr><td port="p">x</td></tr></table>>'
    answer = dot.placed(f"digraph {{ a [shape=plain label={row}]; a:p -> b }}")
    assert [one["name"] for one in answer["objects"]] == ["a", "b"]


def test_the_same_graph_gives_the_same_answer() -> None:
    assert dot.picture(GRAPH, "json") == dot.picture(GRAPH, "json")


def test_a_picture_is_text() -> None:
    assert "<svg" in dot.picture('graph { "Ω µ" }', "svg")
    assert "Ω µ" in dot.picture('graph { "Ω µ" }', "svg")


def test_the_wheel_goes_before_the_system(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    script(tmp_path / "dot", "sys.exit(1)")
    monkeypatch.setenv("PATH", str(tmp_path))
    assert dot.program().stem == "graphviz-pure"


def test_it_is_found_though_the_environment_is_not_activated() -> None:
    code = "from tracegraph.draw.dot import placed; print(len(placed('graph {a}')))"
    bare = {"PATH": "", "PYTHONPATH": str(ROOT), "SYSTEMROOT": r"C:\Windows"}
    command = [sys.executable, "-c", code]
    done = subprocess.run(
        command, env=bare, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_it_is_found_by_its_record_where_scripts_lie_elsewhere(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(sysconfig, "get_path", lambda _: str(tmp_path / "none"))
    assert dot.program().stem == "graphviz-pure"
    assert dot.placed(GRAPH)["name"]


def test_a_dot_of_the_system_will_do(nowhere: Path) -> None:
    own = script(nowhere / "dot", "print('{\"objects\": []}')")
    assert dot.program() == own
    assert dot.placed(GRAPH) == {"objects": []}


def test_without_any_it_is_said_what_to_install(nowhere: Path) -> None:
    assert not any(nowhere.iterdir())
    with pytest.raises(dot.NoDotError, match="pip install graphviz-pure"):
        dot.placed(GRAPH)


def test_a_slip_in_the_graph_is_told() -> None:
    with pytest.raises(dot.DotError, match=r"failed: .*syntax error"):
        dot.placed("digraph { a -> ")


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ("print('no record')", "did not answer in JSON"),
        ("sys.exit(3)", "failed: it gave no reason"),
        ("sys.stderr.write('out of paper\\nagain\\n'); sys.exit(3)", "out of paper$"),
        ("time.sleep(20)", "took over 0 s"),
    ],
)
def test_a_failing_program_is_an_error(
    body: str, said: str, nowhere: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script(nowhere / "dot", body)
    monkeypatch.setattr(dot, "PATIENCE", 0.4 if "sleep" in body else 60)
    with pytest.raises(dot.DotError, match=said):
        dot.placed(GRAPH)


def test_what_is_no_program_is_an_error(nowhere: Path) -> None:
    path = nowhere / "dot"
    path.write_bytes(b"\x00\x01 neither a script nor a program")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    with pytest.raises(dot.DotError, match="can't be run"):
        dot.placed(GRAPH)
