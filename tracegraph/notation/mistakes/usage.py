"""One good line for every way to begin a line: what a hint shows, and a test reads."""

from types import MappingProxyType

USAGE = MappingProxyType(
    {
        "stage": 'stage "belt motor gate drive, left"',
        "ground": "ground COM",
        "rail": "rail P12 12V 5%",
        "rest": "rest P12 -- COM 1k8",
        "input": "input PWM 0V / 5V via 220R 18kHz 45%",
        "state": "state run PWM=high K1=on",
        "chain": "chain P12 -- R13 1k -- N1 -> D11 -- DRV",
        "supply": "supply U1 vcc=P5 gnd=COM",
        "touched": 'touched R13 Q12 "resoldered by someone before"',
        "not": "not traced GATE",
        "nothing": "nothing on PWM",
        "link": "link A B",
        "bridge": "bridge A B 12R",
        "break": "break GATE at R14.2",
        "note": 'note "bought as scrap"',
        "channel": "channel V like U R31=R41 Q31=Q41 except R41 10k, D42 absent",
        "end": "end",
        "readings": 'readings "as received" meter "handheld"',
        "ohms": "ohms PWM B1 1k0",
        "diode": "diode GATE COM 0.71 without Q13",
        "beep": "beep N1 COM no",
        "cap": "cap GATE COM 2.2n",
        "capacitance": "capacitance GATE COM 2.2n",
        "volts": "volts N1 COM 0.05 in stop",
        "replaced": "replaced Q12 pnp",
        "fitted": "fitted D12",
        "removed": "removed Q13",
        "cut": "cut link A B",
        "undo": "undo",
        "meter": 'meter "yellow handheld"',
    }
)

PART = "R14 47R DRV -- GATE"

INNER = MappingProxyType(
    {
        "joins": "GATE joins Q13.g R14.2 R15.1",
        "traced": "not traced GATE",
        "like": "channel V like U R31=R41",
        "except": "channel V like U R31=R41 except R41 10k, D42 absent",
        "over": "rail VB 15V over SW",
        "via": "input PWM 0V / 5V via 220R",
        "marked": 'R14 47R DRV -- GATE marked "470"',
        "about": "R6 about 0R22 burnt S -- HOT",
        "rating": "Q13 nfet g=GATE d=SW s=COM rating 600V 20A",
        "dot": "T1.pri BUS -- DRAIN 60 turns dot BUS",
        "without": "diode GATE COM 0.71 without Q13",
        "lifted": "ohms GATE COM 10k lifted R14.1",
        "joined": "diode SW COM OL joined GATE COM",
        "unplugged": "ohms PWM COM 1k unplugged J3",
        "with": "ohms GATE COM 10k with C99 3n3 GATE -- COM",
        "in": "volts N1 COM 0.05 in stop",
        "after": "ohms P12 COM 21k after 10s",
        "climbs": "ohms P12 COM climbs 2k",
        "unsteady": "ohms P12 COM unsteady",
    }
)

TAIL = "without Q13, lifted R14.1, joined GATE COM, in drive or after 10s"
RANGE = "ohms 600R open 0.4V behind 1k2 accuracy 0.9% 3"

# What a range of a meter's profile begins with.
RANGES = frozenset(
    ("counts", "ohms", "diode", "beep", "cap", "capacitance", "volts", "leads", "red")
)
