"""Known mistakes in readings, events, channels' ends and meters.

The lines teach the reader where such a mistake stops it, and they are the test.
"""

from tracegraph.notation.mistakes.record import Mistake

BENCH = (
    Mistake(
        "stray-word",
        "`end` stands alone",
        "write: end",
        ("end U", "end -- U", 'end "U"', "end a=b"),
    ),
    Mistake(
        "open-title",
        "the title of a block of readings stands in quotes",
        'write: readings "as received"',
        ("readings as received", "readings -- x", "readings a=b"),
    ),
    Mistake(
        "missing-name",
        "the meter has no name",
        'write: readings "as received" meter "handheld"',
        ('readings "after" meter', "readings meter -- x"),
    ),
    Mistake(
        "missing-probe",
        "a reading names the net under the red probe, then the one under the black",
        "write: diode GATE COM 0.72",
        ("diode", "diode GATE", "ohms ? COM 1k", 'ohms GATE "COM"', "ohms a=b"),
    ),
    Mistake(
        "stray-arrow",
        "a reading has no arrow: red probe first, then black",
        "write: diode GATE COM 0.72",
        ("diode GATE -- COM 0.72", "diode -- COM"),
    ),
    Mistake(
        "missing-display",
        "what the meter showed is missing",
        "write it as the display did: 0.72, OL, > 20M, climbs, b, no",
        (
            "diode GATE COM",
            'diode GATE COM note "later"',
            "diode GATE COM -- 0.72",
            'diode GATE COM "0.72"',
            "ohms GATE COM >",
            "diode GATE COM a=b",
        ),
    ),
    Mistake(
        "stray-word",
        "`{found}` is neither the display nor the bench's condition",
        "behind the display may stand: without, lifted, joined, unplugged, with, in, after",
        (
            "diode GATE COM 0.72 0.73",
            "diode GATE COM 0.72 -- 0.73",
            'diode GATE COM 0.72 "again"',
            "beep GATE COM no nothing",
            "ohms GATE COM > 20M at",
            "ohms GATE COM climbs 2k slowly",
        ),
    ),
    Mistake(
        "missing-part",
        "`without` is followed by designators",
        "write: without Q13",
        ("diode GATE COM 0.7 without", "diode GATE COM 0.7 without GATE"),
    ),
    Mistake(
        "missing-pin",
        "`lifted` is followed by the pins whose legs are up",
        "write: lifted R14.1",
        ("diode GATE COM 0.7 lifted", "diode GATE COM 0.7 lifted GATE"),
    ),
    Mistake(
        "missing-net",
        "`joined` is followed by two nets",
        "write: joined GATE COM",
        ("diode GATE COM 0.7 joined", "diode GATE COM 0.7 joined GATE"),
    ),
    Mistake(
        "missing-part",
        "`unplugged` is followed by the connector",
        "write: unplugged J3",
        ("diode GATE COM 0.7 unplugged", "diode GATE COM 0.7 unplugged ?"),
    ),
    Mistake(
        "missing-part",
        "`with` is followed by a part, its designator first",
        "write: with C99 3n3 GATE -- COM",
        ("diode GATE COM 0.7 with", "diode GATE COM 0.7 with 3n3 GATE -- COM"),
    ),
    Mistake(
        "missing-name",
        "`in` is followed by the name of a state",
        "write: in stop",
        ("volts GATE COM 0.7 in", "volts GATE COM 0.7 in ?"),
    ),
    Mistake(
        "missing-value",
        "`after` is followed by a time",
        "write: after 10s",
        ("ohms GATE COM 21k after", 'ohms GATE COM 21k after "10s"'),
    ),
    Mistake(
        "missing-part",
        "the designator of the part is missing",
        "write: replaced Q12 pnp, fitted D12, removed Q13",
        ("replaced", "fitted GATE", "removed", "removed GATE", 'replaced "Q12"'),
    ),
    Mistake(
        "stray-word",
        "`removed` is followed by designators alone",
        'write: removed Q13 note "burnt"',
        ("removed Q13 burnt", 'removed Q13 "burnt"', "removed Q13 -- GATE"),
    ),
    Mistake(
        "stray-word",
        "`undo` stands alone: it takes the reading or event above it back",
        "write: undo",
        ("undo 2", "undo -- U", 'undo "that"', "undo a=b"),
    ),
    Mistake(
        "open-title",
        "the name of a meter stands in quotes",
        'write: meter "yellow handheld"',
        ("meter", "meter yellow handheld"),
    ),
    Mistake(
        "after-note",
        "a note ends its line",
        'move it behind all the rest: R14 47R DRV -- GATE note "..."',
        ('R14 47R note "hot" DRV -- GATE', 'ground COM note "a" -- B'),
    ),
)
