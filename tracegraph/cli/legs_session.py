"""The session of `legs`: one line a reading, few keys, ends politely."""

import sys
from threading import Thread

from tracegraph.cli.screen import Screen
from tracegraph.diagnose.legs.belief import world
from tracegraph.diagnose.legs.choose import next_step
from tracegraph.diagnose.legs.step import Step, UnknownStepError, step_of
from tracegraph.diagnose.legs.taken import Taken, UnreadableError, taken
from tracegraph.meter.profile import Profile
from tracegraph.views.legs_page import opening_page, prompt, why

UNDO, QUIT = {"u", "undo"}, {"q", "quit", "exit"}
AGAIN = "   ! "


def session(profile: Profile, out: Screen) -> tuple[Taken, ...]:
    """Ask for readings until nothing more is worth it, or the person has enough."""
    out.show(opening_page(profile))
    # While hands take the first reading, what the parts would show is worked out.
    Thread(target=lambda: world(profile).plain, daemon=True).start()
    readings: list[Taken] = []
    while (step := next_step(readings, profile)) is not None:
        try:
            if step.why:
                out.say(f"{why(step)}\n")
            text = _line(prompt(step, len(readings) + 1), out)
        except (EOFError, KeyboardInterrupt):
            out.say("\n")
            break
        word = text.strip().lower()
        if word in QUIT:
            break
        if word in UNDO:
            out.say(_undone(readings))
            continue
        try:
            readings.append(_read(step, text, profile))
        except (UnknownStepError, UnreadableError) as wrong:
            out.say(f"{AGAIN}{wrong}\n")
    out.say("\n")
    return tuple(readings)


def _line(asked: str, out: Screen) -> str:
    """Return a line that was typed.

    Raises:
        EOFError: There will be no more.
    """
    out.say(asked)
    out.stream.flush()
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line


def _undone(readings: list[Taken]) -> str:
    if not readings:
        return f"{AGAIN}nothing to take back\n"
    last = readings.pop()
    return f"{AGAIN}{last.step.key} = {last.words} taken back\n"


def _read(step: Step, text: str, profile: Profile) -> Taken:
    """Return what was typed: a display for this step, or another step's by its key."""
    key, equals, shown = text.partition("=")
    if equals:
        return taken(step_of(key), shown, profile)
    return taken(step, text, profile)
