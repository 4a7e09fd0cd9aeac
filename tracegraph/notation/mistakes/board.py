"""Known mistakes in what is written of the board.

The lines teach the reader where such a mistake stops it, and they are the test.
"""

from tracegraph.notation.mistakes.record import Mistake

BOARD = (
    Mistake(
        "open-title",
        "the title of a stage stands in quotes",
        'write: stage "belt motor gate drive, left"',
        ("stage", "stage belt motor gate drive"),
    ),
    Mistake(
        "missing-net",
        "the name of the ground net is missing",
        "write: ground COM",
        ("ground",),
    ),
    Mistake(
        "missing-net",
        "the name of the rail is missing",
        "write: rail P12 12V",
        ("rail",),
    ),
    Mistake(
        "missing-voltage",
        "a rail needs its voltage",
        "write: rail P12 12V, with ? where it is not known",
        ("rail P12", 'rail P12 note "from J1"'),
    ),
    Mistake(
        "missing-net",
        "the ground that the rail stands on is missing",
        "write: rail VB 15V over SW",
        ("rail VB 15V over",),
    ),
    Mistake(
        "missing-arrow",
        "a rest stands between two nets, with -- between them",
        "write: rest P12 -- COM 1k8",
        ("rest", "rest P12 COM 1k8", "rest P12 -> COM 1k8", "rest P12"),
    ),
    Mistake(
        "missing-value",
        "what the meter showed of the rest of the board is missing",
        "write: rest P12 -- COM 1k8, or diode 0.45 / 1.20, 470u, none",
        ("rest P12 -- COM",),
    ),
    Mistake(
        "missing-net",
        "the name of the input net is missing",
        "write: input PWM 0V / 5V via 220R",
        ("input",),
    ),
    Mistake(
        "missing-value",
        "the resistance that the input is driven through is missing",
        "write: input PWM 0V / 5V via 220R",
        ("input PWM 0V / 5V via",),
    ),
    Mistake(
        "missing-name",
        "the state has no name",
        "write: state run PWM=high",
        ("state", "state PWM=high"),
    ),
    Mistake(
        "missing-equals",
        "`{found}` is no setting of a state",
        "write name=value without commas or words between: state run PWM=high",
        ("state run PWM high", "state run PWM -- high", 'state run "PWM"'),
    ),
    Mistake(
        "missing-equals",
        "a name and its value stand on both sides of one `=`",
        "write: b=N1",
        ("Q11 npn b= c=N1", "Q11 c=N1 b= e=COM", "Q11 =N1", "Q11 b="),
    ),
    Mistake(
        "missing-end",
        "no net stands before the arrow",
        "write: R14 47R DRV -- GATE",
        ("R14 -- GATE", "D11 vf=0.6V -> DRV", 'R14 "x" -- GATE', "R14 marked 470 -- B"),
    ),
    Mistake(
        "missing-end",
        "no net stands behind the arrow",
        "write: R14 47R DRV -- GATE",
        ("R14 47R DRV --", 'R14 47R DRV -- note "end not found"'),
    ),
    Mistake(
        "odd-net",
        "`{found}` can't be the name of a net",
        "a net's name holds letters, digits and _ + - / # ~ . ;"
        " an end that is not traced is left out: R14.2 not traced",
        ("R14 47R DRV -- ?", 'R14 47R DRV -- "GATE"', "R14 47R DRV -- a=b"),
    ),
    Mistake(
        "three-ends",
        "the copper goes on behind the second net",
        "begin the line with chain: chain A -- R1 1k -- B -- R2 1k -- C",
        ("R14 47R DRV -- GATE -- COM", "R14 47R DRV -- -- GATE"),
    ),
    Mistake(
        "missing-value",
        "what the part is marked is missing",
        'write: marked "470"',
        ("R14 47R DRV -- GATE marked",),
    ),
    Mistake(
        "missing-value",
        "a value is missing after `about`",
        "write: R6 about 0R22 S -- HOT",
        ("R6 about", 'R6 about "0R22"'),
    ),
    Mistake(
        "missing-value",
        "a rating is a number with its unit",
        "write: rating 600V 20A",
        ("Q13 nfet rating", "Q13 nfet rating high", 'Q13 rating "600V"'),
    ),
    Mistake(
        "missing-net",
        "the net at the dotted end of the winding is missing",
        "write: T1.pri BUS -- DRAIN 60 turns dot BUS",
        ("T1.pri BUS -- DRAIN dot", "T1.pri BUS -- DRAIN dot ?"),
    ),
    Mistake(
        "missing-station",
        "a chain follows the copper from one station to the next",
        "write: chain P12 -- R13 1k -- N1 -> D11 -- DRV",
        (
            "chain",
            "chain P12",
            "chain P12 --",
            "chain -- R13",
            "chain P12 -- -- R13",
            "chain P12 R13 N1",
        ),
    ),
    Mistake(
        "missing-pin",
        "no pin is named that the net joins",
        "write: GATE joins Q13.g R14.2 R15.1",
        ("GATE joins", 'GATE joins "Q13"', "GATE joins a=b", "GATE joins ?"),
    ),
    Mistake(
        "stray-arrow",
        "`joins` is followed by pins alone, without arrows",
        "write: GATE joins Q13.g R14.2 R15.1",
        ("GATE joins Q13.g -- R14.2",),
    ),
    Mistake(
        "missing-part",
        "a supply names the package whose pins it feeds",
        "write: supply U1 vcc=P5 gnd=COM",
        ("supply", "supply GATE COM", "supply vcc=P5"),
    ),
    Mistake(
        "missing-equals",
        "a supply names each pin with its net",
        "write: supply U1 vcc=P5 gnd=COM",
        ("supply U1", "supply U1 P5 COM", "supply U1 vcc=P5 COM"),
    ),
    Mistake(
        "missing-part",
        "`touched` is followed by designators",
        'write: touched R13 Q12 "resoldered by someone before"',
        ("touched", "touched GATE", 'touched "all of it"', "touched R13 GATE"),
    ),
    Mistake(
        "missing-net",
        "the net that is not wholly traced is missing",
        "write: not traced GATE",
        ("not traced", "not traced ?"),
    ),
    Mistake(
        "missing-on",
        "`nothing` says on which net the plug is out",
        "write: nothing on PWM",
        ("nothing", "nothing PWM", "nothing -- PWM", "nothing on"),
    ),
    Mistake(
        "missing-net",
        "two nets are needed here",
        "write: link A B, bridge A B 12R, or cut link A B",
        (
            "link",
            "link A",
            "link A --",
            "link A -> B",
            "bridge A ?",
            "cut link",
            "cut link A",
            "cut link A --",
            "cut link A ?",
        ),
    ),
    Mistake(
        "missing-link",
        "`cut` is followed by `link` and its two nets",
        "write: cut link A B; a cut track is: break GATE at R14.2",
        ("cut", "cut A B", "cut -- A"),
    ),
    Mistake(
        "missing-pin",
        "a break names the net and the pin that parted from it",
        "write: break GATE at R14.2",
        ("break", "break GATE", "break GATE R14.2", "break GATE at", "break GATE -- B"),
    ),
    Mistake(
        "missing-name",
        "the channel has no name",
        "write: channel U",
        ("channel", 'channel "U"', "channel -- U"),
    ),
    Mistake(
        "missing-like",
        "a channel's name is one word, and a copy says whose",
        "write: channel U, or channel V like U",
        ("channel V as U", "channel V R31=R41", "channel V -- U", 'channel V "U"'),
    ),
    Mistake(
        "missing-equals",
        "each part or net of the other channel is named with its sister",
        "write: channel V like U R31=R41 U_GATE=V_GATE",
        ("channel V like U R31 R41", "channel V like U R31=R41 R32 -- R42"),
    ),
    Mistake(
        "missing-part",
        "a difference begins with its designator",
        "write: except R41 10k, D42 absent",
        (
            "channel V like U except",
            "channel V like U except 10k",
            "channel V like U except R41 10k -- B",
        ),
    ),
)
