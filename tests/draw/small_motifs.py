"""Ways for a random section to grow by single parts: every kind of the registry."""

from tests.draw.board import Board, Motif

LYING = (
    ("R", "1k", "--"), ("R", "shunt 0R01", "--"), ("R", "fusible 10R", "--"),
    ("RN", "4k7", "--"), ("NTC", "10k b=3435K", "--"), ("PTC", "100R", "--"),
    ("C", "100n", "--"), ("C", "2u2", "->"), ("C", "47u/25V", "->"),
    ("C", "tantalum 10u", "->"), ("Y", "8MHz", "--"), ("L", "100u", "--"),
    ("FB", "600R", "--"), ("D", "diode", "->"), ("D", "rectifier", "->"),
    ("D", "fast", "->"), ("D", "schottky", "->"), ("D", "sicdiode", "->"),
    ("LED", "", "->"), ("LED", "whiteled", "->"), ("D", "irled", "->"),
    ("D", "zener 15V", "->"), ("D", "tvs 18V", "--"), ("D", "tvs 18V", "->"),
    ("RV", "varistor 275V", "--"), ("S", "switch", "--"), ("S", "thermostat", "--"),
    ("JP", "", "--"), ("F", "fuse 2A", "--"), ("RL", "load 47R", "--"),
    ("M", "motor 2R", "--"), ("LA", "lamp 100R", "--"), ("BZ", "buzzer 40R", "--"),
)  # fmt: skip
"""Letters, words and arrow of a part of each kind with two ends."""

SWITCHES = (
    ("Q", "npn", "bce"), ("Q", 'pnp "BC857"', "bce"), ("Q", "npn digital", "bce"),
    ("Q", "pnp digital", "bce"), ("Q", "nfet rating 600V 20A", "gds"),
    ("Q", "pfet", "gds"), ("Q", "sicfet", "gds"), ("Q", "igbt", "gce"),
    ("Q", "igbt no diode", "gce"), ("Q", "scr", "gak"), ("Q", "npn ?", "123"),
)  # fmt: skip
"""Letters, words and one-letter pins of the switches."""

BOXES: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("Q", "triac", ("mt1", "mt2", "g")),
    ("R", "trimmer 10k", ("1", "2", "3")),
    ("CT", "currenttransformer 100", ("p1", "p2", "s1", "s2")),
    ("D", "diode common cathode", ("a1", "a2", "k")),
    ("D", "schottky common cathode", ("a1", "a2", "k")),
    ("D", "diode common anode", ("k1", "k2", "a")),
    ("D", "schottky common anode", ("k1", "k2", "a")),
    ("D", "diode series", ("a", "k", "m")),
    ("D", "schottky series", ("a", "k", "m")),
    ("BR", "bridge", ("+", "-", "~1", "~2")),
    ("U", "opto", ("a", "k", "e", "c")),
    ("U", "optodriver", ("a", "k", "vee", "out", "vcc")),
    ("K", "relay 270R", ("a1", "a2", "com", "nc", "no")),
    ("K", "relay 270R", ("a1", "a2", "com", "no")),
    ("U", "comparator", ("out", "in-", "in+", "gnd", "vcc")),
    ("U", "opamp", ("out/1", "in-/2", "in+/3", "gnd/4", "vcc/8")),
    ("U", "hall", ("vcc", "gnd", "out")),
    ("U", "regulator 5V", ("in", "gnd", "out")),
    ("U", "regulator 12V negative", ("in", "gnd", "out")),
    ("U", "regulator 3.3V adjustable", ("in", "gnd", "out")),
    ("U", "shuntreg", ("k", "a", "ref")),
    ("U", "driver", ("in", "out", "gnd", "vcc")),
    ("U", "driver inverting", ("in", "out", "gnd", "vcc", "en")),
    ("U", "bridgedriver", ("vcc", "hin", "lin", "com", "lo", "vs", "ho", "vb")),
)
"""Letters, words and pins of what stands as a box or has more than three ends."""

NAMES = ("VCC", "GND", "OUT", "FB", "CS", "EN", "RT", "COMP", "IN", "SS")


def _signal_resistor(board: Board) -> None:
    start = board.source("SIG")
    board.two("R", board.ohms(), start, board.net("SIG"))


def _pull(board: Board) -> None:
    end = board.random.choice((board.ground(), board.rail()))
    board.two("R", board.ohms(), board.old("SIG"), end)


def _decoupler(board: Board) -> None:
    rail, ground = board.rail(), board.ground()
    if board.random.random() < 0.4:
        board.two("C", "47u/25V", rail, ground, "->")
    else:
        board.two("C", board.farads(), rail, ground)


def _lying(board: Board) -> None:
    letters, words, arrow = board.random.choice(LYING)
    a, b = board.some(), board.some()
    if board.random.random() < 0.5:
        a, b = b, a
    board.two(letters, words, a, b, arrow)


def _looped(board: Board) -> None:
    net = board.old()
    board.two("R", board.ohms(), net, net)


def _switch(board: Board) -> None:
    letters, words, pins = board.random.choice(SWITCHES)
    spots = {pin: board.some() for pin in pins}
    board.many(letters, words, spots)


def _box(board: Board) -> None:
    letters, words, pins = board.random.choice(BOXES)
    traced = [pin for pin in pins if board.random.random() < 0.93] or [pins[0]]
    board.many(letters, words, {pin: board.some() for pin in traced})


def _chip(board: Board) -> None:
    """An IC of 3 to 16 pins, some with names, some not traced."""
    random = board.random
    count = random.randint(3, 16)
    named = random.random() < 0.6
    ref = board.ref("U")
    pins: dict[str, str] = {}
    for number in range(1, count + 1):
        if random.random() < 0.12:
            board.found.append(f"{ref}.{number} not traced")
            continue
        word = f"{NAMES[number - 1]}/{number}" if named and number <= 10 else number
        pins[str(word)] = board.some("PIN")
    words = random.choice(("ic", 'ic "8-pin, marking sanded off"', "ic SM72295"))
    if pins:
        board.unit(ref, words, pins)
    else:
        board.unit(ref, words, {str(count + 1): board.ground()})


def _connector(board: Board) -> None:
    count = board.random.choice((1, 2, 2, 3, 4, 6, 10))
    pins = {str(k + 1): board.some("WIRE") for k in range(count)}
    board.many("J", "connector", pins)


def _testpoint(board: Board) -> None:
    board.many("TP", "testpoint", {"1": board.old()})


SMALL = (
    Motif(1, 3, _signal_resistor),
    Motif(1, 3, _pull),
    Motif(1, 2, _decoupler),
    Motif(1, 4, _lying),
    Motif(1, 0.2, _looped),
    Motif(1, 1.5, _switch),
    Motif(1, 2, _box),
    Motif(1, 1, _chip),
    Motif(1, 1, _connector),
    Motif(1, 0.5, _testpoint),
)
