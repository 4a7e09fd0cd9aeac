"""Expected readings made by hand, so that views are tested without the solver."""

from dataclasses import replace

from tracegraph.meter.expected import Bound, Case, Expected
from tracegraph.stage.reading import Condition, Mode

PLAIN = Expected(
    "GATE",
    "COM",
    Mode.OHMS,
    Condition(),
    "handheld",
    (Case(21.7e3, 22.3e3, open=False, why="", share=1.0, display="22 k"),),
    typical=22e3,
    low=21.7e3,
    high=22.3e3,
    worst_low=20.9e3,
    worst_high=23.1e3,
    display="22 k",
    reason="R27 22 k",
    parts=("R27",),
    residual=1e-15,
)
REST_OPEN = Expected(
    "GATE",
    "COM",
    Mode.DIODE,
    Condition(),
    "handheld",
    (
        Case(0.68, 0.76, open=False, why="1 k", share=0.5, display="0.72 V"),
        Case(1.1, 1.2, open=False, why="a chip", share=0.3, display="1.15 V"),
        Case(None, None, open=True, why="nothing else", share=0.2, display="OL"),
    ),
    low=0.68,
    high=1.2,
    worst_low=0.66,
    worst_high=1.25,
    may_be_open=True,
    bound=Bound.ANYTHING,
    display="0.72 V, 1.15 V or OL",
    reason="the emitter-base junction of Q12, turned on through R13 1 k",
    parts=("Q12", "R13"),
    hidden=("D81",),
    unproven=("D81", "D11"),
    uncertain=("0.72 V to OL: depends on what else hangs on P12",),
    ask="measure P12-COM and write `rest P12 -- COM ...`",
    early="0.67 V at first, OL after 2.8 s: C12",
    settles=2.8,
)
BEEP = replace(
    PLAIN,
    mode=Mode.BEEP,
    cases=(Case(None, None, open=False, why="", share=1.0, display="no beep"),),
    typical=None,
    low=None,
    high=None,
    worst_low=None,
    worst_high=None,
    display="no beep",
)
OPEN = replace(
    PLAIN,
    red="COM",
    black="GATE",
    mode=Mode.DIODE,
    cases=(Case(None, None, open=True, why="", share=1.0, display="OL"),),
    typical=None,
    low=None,
    high=None,
    worst_low=None,
    worst_high=None,
    may_be_open=True,
    display="OL",
    reason="D11 blocks",
    settles=float("inf"),
)
FAILED = Expected(
    "COM",
    "GATE",
    Mode.OHMS,
    Condition(),
    "handheld",
    error="no answer was found between COM and GATE (Q12, D11)",
)
