"""Completion: commands, and the nets, parts and pins of the file on the line."""

import os
import subprocess
import sys

import pytest

from tests.cli.conftest import ROOT, Run

FILE = "examples/treadmill-gate-drive.trace"


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_script_for_each_shell(run: Run, shell: str) -> None:
    done = run("completion", shell)
    assert done.code == 0
    assert "_TRACEGRAPH_COMPLETE" in done.out


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("tracegraph ex", "expect"),
        (f"tracegraph expect {FILE} ga", "GATE"),
        (f"tracegraph expect {FILE} GATE Q2", "Q23"),
        (f"tracegraph expect {FILE} GATE COM --mode di", "diode"),
        (f"tracegraph expect {FILE} GATE COM --meter need", "needle"),
        (f"tracegraph expect {FILE} GATE COM --lifted R26.", "R26.1"),
        (f"tracegraph sheet {FILE} --without q2", "Q21"),
    ],
)
def test_what_the_shell_offers(typed: str, offered: str) -> None:
    words = typed.split(" ")
    done = subprocess.run(
        [sys.executable, "-m", "tracegraph"],
        cwd=ROOT,
        env={
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "_TRACEGRAPH_COMPLETE": "bash_complete",
            "COMP_WORDS": typed,
            "COMP_CWORD": str(len(words) - 1),
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stderr == ""
    assert offered in {line.partition(",")[2] for line in done.stdout.splitlines()}
