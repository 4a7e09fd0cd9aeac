"""Diagnoses and advice made by hand, so that views are tested without the engine.

The board is the gate drive of examples/treadmill-gate-drive.trace: its turn-off helper
Q23 leaks, or the file misses a path across it.
"""

from tracegraph.diagnose.verdict import (
    Advice,
    Doubtful,
    Evidence,
    Group,
    Left,
    Outcome,
    Proposal,
    Sort,
    State,
    Suspect,
    Verdict,
)
from tracegraph.meter.expect import Probe
from tracegraph.stage.change import Cut, Split, Tie
from tracegraph.stage.part import Pin
from tracegraph.stage.reading import Condition, Mode, Reading, Shown

GATE = Reading("GATE", "COM", Mode.OHMS, 1.15e3, 10.0)
DIODE = Reading("GATE", "COM", Mode.DIODE, 0.59, 0.001)
BACK = Reading("COM", "GATE", Mode.DIODE, Shown.OPEN)
SOURCE = Reading("SRC", "COM", Mode.OHMS, 0.2, 0.1)
BODY = Reading("SRC", "MOT-", Mode.DIODE, 0.48, 0.001)
OLD = Reading("GATE", "COM", Mode.OHMS, 22e3, 100.0, block="before")

LEAKY = Suspect(
    "Q23 leaky c-e, about 1.2 k",
    "leaky c-e",
    Sort.PART,
    ("Q23",),
    ("GD", "COM"),
    (Tie("GD", "COM", 1.2e3),),
    prior=0.0021,
    chance=0.81,
    value=1.2e3,
    low=1.12e3,
    high=1.27e3,
    unit="ohm",
)
MISSED = Suspect(
    "a path of about 1.2 k between GD and COM that the file lacks",
    "missed path",
    Sort.SLIP,
    (),
    ("GD", "COM"),
    (Tie("GD", "COM", 1.2e3),),
    prior=0.0003,
    chance=0.12,
)
BRIDGE = Suspect(
    "GATE and SRC joined",
    "bridge",
    Sort.BRIDGE,
    (),
    ("GATE", "SRC"),
    (Tie("GATE", "SRC", 1.2e3),),
    prior=0.0001,
    chance=0.03,
)
OPEN_PART = Suspect(
    "R26 open",
    "open",
    Sort.PART,
    ("R26",),
    ("GD", "GATE"),
    (Cut(Pin("R26", "1")),),
    prior=0.0004,
    chance=0.02,
)
TRACK = Suspect(
    "track between GD and R26 broken",
    "broken track",
    Sort.TRACK,
    (),
    ("GD",),
    (Split("GD", (Pin("R26", "1"),)),),
    prior=0.0003,
    chance=0.01,
)

ODD_GATE = Evidence(
    GATE,
    "22 k",
    "1.2 k",
    9.4,
    "red GATE, black COM, ohms: 1.15 k, where a healthy one shows 22 k and this 1.2 k",
)
ODD_BACK = Evidence(
    BACK,
    "1.24 V",
    "1.2 V",
    -3.1,
    "red COM, black GATE, diode: OL, where the leak would show 1.2 V",
)
WEAK = Evidence(SOURCE, "0.2 Ω", "0.2 Ω", 0.01, "red SRC, black COM, ohms: as expected")
FIRST_GROUP = Group(
    (LEAKY, MISSED),
    0.93,
    (
        ODD_GATE,
        ODD_BACK,
        WEAK,
        Evidence(
            DIODE,
            "0.67 V",
            "0.59 V",
            2.2,
            "red GATE, black COM, diode: 0.59 V, lowered by what lies beside the junction",
        ),
    ),
    check="look for a part or a track between GD and COM that the file lacks",
    lift="Q23.e",
    slip=0.13,
)
FOUND = Verdict(
    State.FOUND,
    "Q23 leaks between collector and emitter, about 1.2 k",
    (
        FIRST_GROUP,
        Group((OPEN_PART, TRACK), 0.03, (), lift="R26.1"),
        Group((BRIDGE,), 0.03, ()),
        Group((LEAKY._replace(words="D21 leaky", parts=("D21",)),), 0.002, ()),
    ),
    0.004,
    (GATE, DIODE, BACK, SOURCE, BODY),
    odd=(ODD_GATE,),
    doubtful=(
        Doubtful(BACK, 0.4, "1.24 V", "re-take it: probes swapped? charge left?"),
    ),
    lawful=(
        "SRC to COM reads 0.2 Ω both ways: R28 and the probes' own leads",
        "SRC to MOT- reads 0.48 V: the body diode of Q24",
    ),
    untested=("Q21", "R23", "R24", "D22"),
    unseen=("R28 drifted by less than the leads", "Q24 with a weak gate oxide"),
    left=(Left(OLD, "taken before Q23 was replaced"),),
    meter="handheld",
)
TRACING = FOUND._replace(
    state=State.TRACING,
    words="rather the file than the board: it lacks a path between GD and COM",
    groups=(
        Group(
            (MISSED, LEAKY),
            0.93,
            (ODD_GATE,),
            check="beep GD to R99.1",
            slip=0.88,
        ),
    ),
    doubtful=(),
    lawful=(),
    left=(),
)
HEALTHY = Verdict(
    State.HEALTHY,
    "all 5 readings as expected",
    (),
    0.97,
    (GATE, DIODE, BACK, SOURCE, BODY),
    lawful=(
        "GATE to COM reads 22 Ω both ways: the loop R26, T1; D21 cannot show there",
    ),
    untested=tuple(f"R{number}" for number in range(1, 31)),
    meter="handheld",
)
UNEXPLAINED = FOUND._replace(
    state=State.UNEXPLAINED,
    words="nothing that is known fits these readings",
    groups=(),
    conflicts=(frozenset({"R27", "Q23"}), frozenset({"R26", "D21", "R25"})),
)
EMPTY = Verdict(State.EMPTY, "no reading yet", (), 0.9, (), meter="handheld")

PLAIN = Proposal(
    Probe("GATE", "COM", Mode.DIODE),
    Condition(),
    1.3,
    1.0,
    (
        Outcome("0.64 to 0.70 V", 0.61, "as it should be: the helper's junction", True),
        Outcome(
            "0.2 to 0.6 V", 0.3, "Q23 leaky c-e, or a path that the file lacks", False
        ),
        Outcome("OL", 0.09, "R26 open, or the track at it", False),
    ),
    "it parts the leaky helper from an open gate resistor",
)
LIFTED = Proposal(
    Probe("R26.1", "COM", Mode.OHMS),
    Condition(changes=(Cut(Pin("R26", "1")),)),
    0.9,
    6.0,
    (
        Outcome("22 k", 0.7, "what is on the gate's side", True),
        Outcome("1.2 k", 0.3, "the leak is at the gate itself", False),
    ),
    "it parts the gate from its driver",
)
POWERED = Proposal(
    Probe("GATE", "COM", Mode.VOLTS),
    Condition(power="run"),
    0.5,
    50.0,
    (Outcome("14.3 V", 0.8, "", True), Outcome("0 V", 0.2, "the drive is dead", False)),
    "the cold readings are used up",
)
ADVICE = Advice((PLAIN, LIFTED, POWERED), "", done=False)
DONE = Advice(
    (), "nothing in place tells more: lift Q23.e and read it alone", done=True
)
