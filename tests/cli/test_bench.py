"""`tracegraph bench` as it runs: piped lines, a pulled plug, a log that goes on."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.conftest import ROOT, Run

LAMP = """\
stage "lamp dimmer, driver"
ground GND
rail P12 12V
rest P12 -- GND 2k2
R1 4k7 IN -- B
R2 22k B -- GND
R3 1k OUT -- P12
"""
RUN = (sys.executable, "-m", "tracegraph", "bench")


@pytest.fixture
def lamp(tmp_path: Path) -> Path:
    path = tmp_path / "lamp.trace"
    path.write_text(LAMP, "utf-8")
    return path


def piped(file: Path, *lines: str, log: str = "") -> "subprocess.CompletedProcess[str]":
    words = [*RUN, str(file), *(("--log", log) if log else ())]
    text = "".join(f"{line}\n" for line in lines)
    return subprocess.run(
        words, input=text, capture_output=True, text=True, cwd=ROOT, check=False
    )


def log_of(file: Path, name: str = "lamp") -> list[str]:
    path = file.with_name(f"{name}.readings.trace")
    return [line.strip() for line in path.read_text("utf-8").splitlines()]


def proposal(text: str) -> str:
    """Return the last probe that was asked for."""
    asked = [line for line in text.splitlines() if "   red " in line]
    return asked[-1]


def test_a_session_from_a_pipe(lamp: Path) -> None:
    done = piped(lamp, "ohms IN B 4k7", "foo", "ohms OUT P12 ol", "q")
    assert (done.returncode, done.stderr) == (0, "")
    assert log_of(lamp)[1:] == ['readings "bench"', "ohms IN B 4.7k", "ohms OUT P12 OL"]
    assert "`foo` is no display in" in done.stdout
    assert "R3 open" in done.stdout
    assert done.stdout.isascii()
    own = [one for one in done.stdout.splitlines() if str(lamp.parent) not in one]
    assert max(map(len, own)) <= 80  # a path is as long as it is
    assert "2 readings in" in " ".join(done.stdout.split())


def test_the_end_of_the_input_is_a_polite_end(lamp: Path) -> None:
    done = piped(lamp, "ohms IN B 4k7")
    assert done.returncode == 0
    told = " ".join(done.stdout.split())
    assert told.endswith("The same command goes on from there.")
    assert "lamp.readings.trace" in told


def test_it_goes_on_where_it_was(lamp: Path) -> None:
    first = piped(lamp, "ohms IN B 4k7", log="left")
    second = piped(lamp, "q", log="left")
    assert "left.readings.trace: 1 reading in it." in " ".join(second.stdout.split())
    assert proposal(second.stdout) == proposal(first.stdout)


def test_a_pulled_plug_costs_nothing(lamp: Path) -> None:
    """Kill the session without a word while it works on what was just typed."""
    words = [*RUN, str(lamp)]
    session = subprocess.Popen(
        words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT
    )
    assert session.stdin
    assert session.stdout
    try:
        session.stdin.write("ohms IN B 4k7\nohms OUT P12 1k2\n")
        session.stdin.flush()
        for line in session.stdout:
            if line.startswith("kept, 2"):
                break
    finally:
        session.kill()
        session.wait()
        session.stdin.close()
        session.stdout.close()
    assert log_of(lamp)[2:] == ["ohms IN B 4.7k", "ohms OUT P12 1.2k"]
    again = piped(lamp, "q")
    assert "2 readings in it." in " ".join(again.stdout.split())
    lamp.with_name("lamp.readings.trace").unlink()
    unbroken = piped(lamp, "ohms IN B 4k7", "ohms OUT P12 1k2", "q")
    assert proposal(again.stdout) == proposal(unbroken.stdout)


@pytest.mark.skipif(sys.platform == "win32", reason="a pseudo-terminal is a Unix thing")
def test_a_terminal_and_a_pulled_plug(lamp: Path) -> None:
    import os
    import pty
    from select import select

    def started() -> "tuple[subprocess.Popen[bytes], int]":
        ours, theirs = pty.openpty()
        session = subprocess.Popen(
            [*RUN, str(lamp)],
            stdin=theirs,
            stdout=theirs,
            cwd=ROOT,
            env={**os.environ, "TERM": "dumb", "COLUMNS": "80"},
        )
        os.close(theirs)
        return session, ours

    def until(ours: int, what: str, least: int = 1) -> str:
        seen, end = b"", time.monotonic() + 60
        while seen.decode(errors="replace").count(what) < least:
            ready, _, _ = select([ours], [], [], max(end - time.monotonic(), 0.0))
            assert ready, seen
            seen += os.read(ours, 4096)
        return seen.decode(errors="replace").replace("\r\n", "\n")

    session, ours = started()
    until(ours, "\n> ")
    time.sleep(0.3)  # nobody is quicker
    os.write(ours, b"ohms IN B 4k7\n")
    first = until(ours, "\n> ")
    session.kill()
    session.wait()
    os.close(ours)
    assert log_of(lamp)[2:] == ["ohms IN B 4.7k"]
    session, ours = started()
    second = until(ours, "\n> ")
    assert proposal(second) == proposal(first)
    session.send_signal(signal.SIGINT)  # Ctrl-C
    assert "goes on from there" in " ".join(until(ours, "there").split())
    assert session.wait() == 0
    os.close(ours)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("nowhere.trace",), "there is no file nowhere.trace"),
        (("-",), "bench reads what is typed"),
        (("examples/press-bus-trip.trace", "--priors", "none.toml"), "none.toml"),
        (("examples/press-bus-trip.trace", "--meter", "nope"), "nope"),
    ],
)
def test_what_cannot_begin_is_refused(
    run: Run, words: tuple[str, ...], told: str
) -> None:
    done = run("bench", *words)
    assert (done.code, done.out) == (2, "")
    assert told in done.err


def test_the_section_itself_is_no_log(run: Run, lamp: Path) -> None:
    done = run("bench", lamp, "--log", lamp)
    assert done.code == 2
    assert "is a section: give a log of its own" in " ".join(done.err.split())
