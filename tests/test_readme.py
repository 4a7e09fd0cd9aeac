"""The README keeps its word: its runs are real, its notation reads, its set-up stands."""

import re
import shlex
from pathlib import Path

import pytest

import tracegraph
from tracegraph.cli import main
from tracegraph.cli.program import COMMANDS
from tracegraph.meter.profile_file import read_meters
from tracegraph.notation.source import from_text

README = Path(__file__).parents[1] / "README.md"
TEXT = README.read_text("utf-8")
RUN = re.compile(r"```console\n\$ (tracegraph [^\n]*)\n(.*?)```", re.DOTALL)
LISTINGS = re.findall(r"```trace\n(.*?)```", TEXT, re.DOTALL)
MAIN_JOB = (
    "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/tracegraph expect "
    "examples/treadmill-gate-drive.trace GATE COM"
)
TESTS = (
    "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && "
    ".venv/bin/python -m pytest"
)


def test_two_commands_do_all_the_set_up() -> None:
    commands = re.findall(r"^    (\S.*venv.*)$", TEXT, re.MULTILINE)
    assert commands == [MAIN_JOB, TESTS]
    assert "Python 3.11 or newer" in TEXT


@pytest.mark.parametrize("command", [found[0] for found in RUN.findall(TEXT)])
def test_a_run_shows_real_output(
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
    command: str,
) -> None:
    monkeypatch.chdir(README.parent)
    monkeypatch.delenv("COLUMNS", raising=False)
    differs = command.startswith("tracegraph compare")  # and its exit code says so
    assert main(shlex.split(command)[1:]) == int(differs)
    told = capsys.readouterr()
    assert told.err == ""
    if request.config.getoption("--update-golden"):
        _put(command, told.out)
    assert dict(RUN.findall(README.read_text("utf-8")))[command] == told.out


def _put(command: str, out: str) -> None:
    """Write a run's output into the README below its command."""
    block = rf"(```console\n\$ {re.escape(command)}\n).*?```"
    text = README.read_text("utf-8")
    text = re.sub(block, lambda found: f"{found[1]}{out}```", text, flags=re.DOTALL)
    README.write_text(text, "utf-8", newline="\n")


def test_its_notation_is_understood() -> None:
    section, _ = LISTINGS
    errors = [
        problem
        for problem in tracegraph.read(section).problems
        if problem.severity is tracegraph.Severity.ERROR
    ]
    assert errors == []


def test_its_meter_is_understood() -> None:
    _, meter = LISTINGS
    found = read_meters(from_text("README.md", meter))
    assert found.problems == ()
    assert [one.name for one in found.profiles] == ["yellow handheld"]


def test_its_python_runs(capsys: pytest.CaptureFixture[str]) -> None:
    (code,) = re.findall(r"```python\n(.*?)```", TEXT, re.DOTALL)
    path = (README.parent / "examples").as_posix()
    exec(code.replace('"examples', f'"{path}'), {})
    assert capsys.readouterr().out


def test_every_command_is_listed() -> None:
    listed = re.findall(r"^\| `tracegraph (\w+)", TEXT, re.MULTILINE)
    assert set(listed) == set(COMMANDS)


def test_every_file_that_it_names_is_there() -> None:
    named = re.findall(r"`((?:examples|grammar)/[\w./-]*|\w+\.md)`", TEXT)
    assert named
    assert [name for name in named if not (README.parent / name).exists()] == []


def test_it_cautions_before_a_live_board() -> None:
    for words in ("Unplug", "isolating transformer", "local rules", "Discharge"):
        assert words in TEXT
