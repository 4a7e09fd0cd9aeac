"""The program as a whole: help, slips, files that are none, exit codes."""

import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run
from tracegraph.cli.program import COMMANDS

GATE = "examples/treadmill-gate-drive.trace"


def shell(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run the program as its own process."""
    return subprocess.run(
        [sys.executable, "-m", "tracegraph", *words],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        check=False,
    )


def test_without_a_command_it_lists_them(run: Run) -> None:
    done = run()
    assert done.code == 0
    assert all(name in done.out for name in COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("option", ["-h", "--help"])
def test_every_command_explains_itself(run: Run, command: str, option: str) -> None:
    done = run(command, option)
    assert done.code == 0
    assert f"tracegraph {command}" in done.out
    assert done.err == ""


def test_help_speaks_the_trade_s_language(run: Run) -> None:
    texts = [run(command, "--help").out for command in COMMANDS]
    banned = re.compile(r"operating point|transient|sweep|node|netlist", re.IGNORECASE)
    assert [text for text in texts if banned.search(text)] == []


def test_it_tells_its_version(run: Run) -> None:
    told = run("--version").out
    assert re.fullmatch(r"tracegraph( \d+\.\d+\S*|, from a checkout)\n", told)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("expct", GATE), "there is no command expct; did you mean expect?"),
        (("fly",), "there is no command fly; known: check, expect, sheet"),
        (("check", GATE, "--jsn"), "there is no option --jsn"),
        (("check", GATE, "--jsn"), "did you mean --json?"),
        (("expect", GATE, "GAET", "COM"), "did you mean GATE?"),
        (("expect", GATE, "GATE", "Q99"), "there is no net or pin called Q99"),
        (("expect", GATE, "Q99"), "there is no part called Q99"),
        (("expect", GATE, "GATE"), "GATE is a net: name the second point as well"),
        (("expect", GATE, "Q23", "COM"), "Q23 is a part: say which pin"),
        (("expect", GATE, "Q23.x", "COM"), "there is no net or pin called Q23.x"),
        (("expect", GATE, "GATE", "COM", "--mode", "diod"), "did you mean diode?"),
        (
            ("expect", GATE, "GATE", "COM", "--mode", "volts"),
            "volts are for a powered board",
        ),
        (("expect", GATE, "GATE", "COM", "--meter", "x"), "no meter called x"),
        (("sheet", GATE, "--in", "run"), "cold one: leave --in out"),
        (("expect", GATE, "GATE", "COM", "--without", "Q98"), "There is no part Q98."),
        (("expect", GATE, "GATE", "COM", "--lifted", "R26.7"), "no pin R26.7"),
        (("expect", GATE, "GATE", "COM", "--joined", "GATE,CAM"), "no net CAM"),
        (("expect", GATE, "GATE", "COM", "--after", "long"), "`long` is no time."),
        (("expect", GATE, "GATE", "COM", "--with", "C99 ??"), "C99"),
        (("expect", GATE), "argument 'RED'"),
        (("sheet", GATE, "--short", "0"), "--short"),
        (("sheet", GATE, "--csv", "--json"), "choose one"),
        (("completion", "bush"), "there is no shell bush; did you mean bash?"),
        (("value",), "MARKING"),
    ],
)
def test_a_slip_gets_one_clear_sentence(
    run: Run, words: tuple[str, ...], said: str
) -> None:
    done = run(*words)
    assert done.code == 2
    assert done.out == ""
    assert said in done.err
    assert done.err.startswith("tracegraph: ")
    assert done.err.count("\n") == 1


@pytest.mark.parametrize("command", ["check", "expect", "sheet"])
@pytest.mark.parametrize(
    ("name", "data", "said"),
    [
        ("none.trace", None, "there is no file"),
        ("empty.trace", b"", "is empty"),
        ("blank.trace", b" \r\n\t\n", "is empty"),
        ("photo.trace", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "holds no text"),
        ("", None, "is a folder"),
    ],
)
def test_a_file_that_is_none_is_refused(
    run: Run, tmp_path: Path, command: str, name: str, data: bytes | None, said: str
) -> None:
    path = tmp_path / name
    if data is not None:
        path.write_bytes(data)
    points = ("A", "B") if command == "expect" else ()
    done = run(command, path, *points)
    assert done.code == 2
    assert said in done.err
    assert done.out == ""


def test_a_misspelt_file_is_asked_about(run: Run) -> None:
    done = run("check", "examples/treadmil-gate-drive.trace")
    assert "did you mean treadmill-gate-drive.trace?" in done.err


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permission bit")
@pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="root may read everything"
)
def test_a_locked_file_is_refused(run: Run, board: Callable[[str], Path]) -> None:
    path = board("ground COM\n")
    path.chmod(0)
    assert "can't be opened: permission denied" in run("check", path).err


def test_the_bench_computer_s_habits_are_fine(run: Run, tmp_path: Path) -> None:
    text = 'stage "a"\r\nground 0V\r\nR1 4,7k +15 -- 0V\r\nR2 1k\t-8 -- 0V'
    path = tmp_path / "board.trace"
    for data in (
        b"\xef\xbb\xbf" + text.encode(),
        text.encode("utf-16"),
        text.encode("cp1252"),
    ):
        path.write_bytes(data)
        done = run("check", path)
        assert done.code == 0
        assert "4.7 kΩ" in done.out


def test_a_plain_terminal_gets_plain_letters() -> None:
    done = shell("value", "47u", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert b"47 uF" in done.stdout


def test_a_reader_that_leaves_is_no_fault() -> None:
    code = (
        "import os, sys\nfrom tracegraph.cli import main\n"
        "read, write = os.pipe()\nos.close(read)\nos.dup2(write, 1)\n"
        f"sys.exit(main(['check', {GATE!r}]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_person_may_stop_it(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(_text: str) -> None:
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr("tracegraph.cli.value.readings_of", stop)
    # A shell that starts the tests in the background has SIGINT ignored.
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        done = run("value", "103")
    finally:
        signal.signal(signal.SIGINT, before)
    assert (done.code, done.out, done.err) == (130, "", "")


def test_a_fault_of_ours_is_owned_in_one_sentence(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_text: str) -> None:
        raise RuntimeError("two\nlines")

    monkeypatch.setattr("tracegraph.cli.value.readings_of", fail)
    monkeypatch.delenv("TRACEGRAPH_DEBUG")
    done = run("value", "103")
    assert done.code == 70
    assert "fault of tracegraph" in done.err
    assert done.err.count("\n") == 1


@pytest.mark.parametrize("words", [("check", GATE), ("value", "103")])
def test_no_library_is_loaded_that_a_command_does_not_need(
    words: tuple[str, ...],
) -> None:
    code = (
        "import sys\nfrom tracegraph.cli import main\n"
        f"main({list(words)!r})\n"
        "found = {'rich', 'networkx', 'scipy', 'graphviz'} & set(sys.modules)\n"
        "sys.exit(', '.join(sorted(found)) or 0)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.skipif(os.name == "nt", reason="Windows has no pseudo terminal")
def test_a_terminal_gets_rich_tables_with_the_same_words(run: Run) -> None:
    import pty

    leader, follower = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "tracegraph", "value", "103"],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm", "COLUMNS": "80"},
        stdout=follower,
    ) as process:
        os.close(follower)
        shown = b""
        while piece := _read(leader):
            shown += piece
        assert process.wait() == 0
    os.close(leader)
    bare = re.sub(r"\x1b\[[0-9;]*m", "", shown.decode())
    assert "\x1b[1m" in shown.decode()
    words = {word for word in run("value", "103").out.split() if word.strip("-")}
    assert words <= set(bare.split())


def _read(leader: int) -> bytes:
    try:
        return os.read(leader, 4096)
    except OSError:  # Linux says so when the other end has gone
        return b""
