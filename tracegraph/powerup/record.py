"""A plan for powering up: frozen results."""

from typing import NamedTuple

from tracegraph.powerup.link.record import DcLink


class Read(NamedTuple):
    """What to read in a step, and what a healthy board shows.

    Attributes:
        red: Where the red probe goes.
        black: Where the black one goes.
        mode: What the meter is set to: `ohms`, `diode`, `volts`; or `scope`.
        shows: What is to be seen.
        low: Least of a healthy board in SI units, or None.
        high: Greatest likewise.
        state: The state that the section is in; empty for any.
        why: What it tells, or why there is no figure.
    """

    red: str
    black: str
    mode: str
    shows: str
    low: float | None = None
    high: float | None = None
    state: str = ""
    why: str = ""


class Step(NamedTuple):
    """One step of a plan.

    Attributes:
        name: A short word, the same in every plan.
        title: What it is about.
        live: Whether the board is powered in it.
        cautions: What to heed in it.
        do: What to do, in order.
        read: What to read.
        need: What must be so before the next step.
        stop: When to switch off and look for it.
        unknown: What is not known, and how to go on all the same.
    """

    name: str
    title: str
    live: bool = False
    cautions: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    read: tuple[Read, ...] = ()
    need: tuple[str, ...] = ()
    stop: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


class Plan(NamedTuple):
    """How to power a section up.

    Attributes:
        title: What the section is called.
        cautions: What stands before everything.
        steps: In order.
        link: What stays charged.
    """

    title: str
    cautions: tuple[str, ...]
    steps: tuple[Step, ...]
    link: DcLink
