"""Ways for a random section to grow by whole circuits, as boards have them."""

from tests.draw.board import Board, Motif
from tests.draw.small_motifs import SMALL


def _gate_drive(board: Board) -> None:
    ground, rail = board.ground(), board.rail()
    base, gate, out = board.net("NB"), board.net("GATE"), board.net("SW")
    drive, pull = board.net("DRV"), board.net("PULL")
    board.two("R", board.ohms(), board.source("PWM"), base)
    board.two("R", "10k", base, ground)
    board.many("Q", "npn", {"b": base, "c": pull, "e": ground})
    board.two("R", "2k2", rail, pull)
    board.two("D", "diode", pull, drive, "->")
    board.many("Q", "pnp", {"b": pull, "e": drive, "c": ground})
    board.two("R", "22R", drive, gate)
    board.two("R", "10k", gate, ground)
    power = board.random.choice(("nfet", "igbt"))
    pins = ("g", "d", "s") if power == "nfet" else ("g", "c", "e")
    board.many("Q", power, dict(zip(pins, (gate, out, ground), strict=True)))


def _trip(board: Board) -> None:
    ground, rail = board.ground(), board.rail()
    tap, reference, trip = board.net("TAP"), board.net("REF"), board.net("TRIP")
    board.two("R", "100k 1%", board.some("BUS"), tap)
    board.two("R", "10k 1%", tap, ground)
    board.two("C", "10n", tap, ground)
    board.two("R", "4k7", rail, reference)
    board.two("D", "zener 2V4", ground, reference, "->")
    pins = {"out": trip, "in-": tap, "in+": reference, "gnd": ground, "vcc": rail}
    board.many("U", "comparator", pins)
    board.two("R", "4k7", rail, trip)
    board.two("R", "1M", trip, reference)


def _half_bridge(board: Board) -> None:
    ground, rail = board.ground(), board.rail()
    phase, boot = board.net("PH"), board.net("VB")
    outs, gates = (board.net("HO"), board.net("LO")), (board.net("GH"), board.net("GL"))
    pins = {"vcc": rail, "hin": board.source("HIN"), "lin": board.source("LIN")}
    pins |= {"com": ground, "lo": outs[1], "vs": phase, "ho": outs[0], "vb": boot}
    board.many("U", "bridgedriver", pins)
    board.two("D", "fast", rail, boot, "->")
    board.two("C", "2u2", boot, phase)
    board.two("R", "22R", outs[0], gates[0])
    board.two("D", "schottky", gates[0], outs[0], "->")
    board.two("R", "22R", outs[1], gates[1])
    board.two("R", "10k", gates[1], ground)
    board.many("Q", "nfet", {"g": gates[0], "d": board.rail(), "s": phase})
    board.many("Q", "nfet", {"g": gates[1], "d": phase, "s": ground})


def _feedback(board: Board) -> None:
    anode, error = board.net("OA"), board.net("ERR")
    board.two("R", "1k", board.rail(), anode)
    cathode = board.net("OK")
    pins = {"a": anode, "k": cathode, "c": error, "e": board.grounds[-1]}
    board.many("U", "opto", pins)
    board.many("U", "shuntreg", {"k": cathode, "a": board.ground(), "ref": board.old()})
    board.two("R", "10k", board.rail(), error)


def _relay(board: Board) -> None:
    ground, rail = board.ground(), board.rail()
    base, coil = board.net("BH"), board.net("COIL")
    board.two("R", "2k2", board.source("ON"), base)
    board.many("Q", "npn", {"b": base, "c": coil, "e": ground})
    contacts = {"a1": rail, "a2": coil, "com": board.net("AC"), "no": board.net("HEAT")}
    board.many("K", "relay 270R", contacts)
    board.two("D", "diode", coil, rail, "->")
    first, second = board.ref("R"), board.ref("LED")
    board.lines.append(f"chain {rail} -- {first} 1k5 -> {second} led -- {coil}")
    board.parts += 2


def _amplifier(board: Board) -> None:
    ground, rail = board.ground(), board.rail()
    sense, plus, minus = board.old("SRC"), board.net("IP"), board.net("IM")
    out = board.net("IOUT")
    board.two("R", "shunt 0R01", sense, ground)
    board.two("R", "1k", sense, plus)
    board.two("R", "1k", minus, ground)
    board.two("R", "20k", minus, out)
    board.two("C", "100p", minus, out)
    pins = {"out": out, "in-": minus, "in+": plus, "gnd": ground, "vcc": rail}
    board.many("U", "opamp", pins)


def _supply(board: Board) -> None:
    ground, rail = board.ground(), board.rail()
    live, neutral, bulk = board.net("L"), board.net("N"), board.net("BULK")
    fused = board.net("L")
    board.many("J", "connector", {"1": live, "2": neutral})
    board.two("F", "2A", live, fused)
    board.two("RV", "275V", fused, neutral)
    board.many("BR", "bridge", {"+": bulk, "-": ground, "~1": fused, "~2": neutral})
    board.two("C", "100u/400V", bulk, ground, "->")
    board.many("U", "regulator 12V", {"in": bulk, "gnd": ground, "out": rail})


def _opto_drive(board: Board) -> None:
    anode, out, gate = board.net("LA"), board.net("GO"), board.net("GATE")
    emitter, collector = board.net("EM"), board.net("COL")
    low, high = board.grounds[-1], board.rail()
    board.two("R", "270R", board.source("DRV"), anode)
    pins = {"a": anode, "k": board.ground(), "vee": low, "out": out, "vcc": high}
    board.many("U", "optodriver", pins)
    board.two("R", "12R", out, gate)
    board.two("D", "tvs 18V", gate, emitter)
    board.two("R", "6k8", gate, emitter)
    board.two("D", "zener 8V2", low, emitter, "->")
    board.many("Q", "igbt", {"g": gate, "c": collector, "e": emitter})


def _channels(board: Board) -> None:
    """Sister channels: the second is written as like the first."""
    ground, rail = board.ground(), board.rail()
    tag = board.net("CH")
    one, two = f"U{tag[-1]}", f"V{tag[-1]}"
    board.lines.append(f"channel {one}")
    gate, out = board.net(f"{one}_GATE"), board.net(f"{one}_OUT")
    inside = [
        board.two("R", "22R", board.net(f"{one}_IN"), gate),
        board.two("R", "10k", gate, ground),
        board.many("Q", "nfet", {"g": gate, "d": out, "s": ground}),
        board.two("D", "fast", out, rail, "->"),
    ]
    board.lines.append("end")
    pairs = " ".join(f"{ref}={board.ref(ref.rstrip('0123456789'))}" for ref in inside)
    board.lines.append(f"channel {two} like {one} {pairs}")
    board.parts += len(inside)


def _star(board: Board) -> None:
    """Ten parts and more on one net."""
    middle = board.net("STAR")
    for _ in range(8):
        board.two("R", board.ohms(), middle, board.some())
    board.many("Q", "npn", {"b": board.net(), "c": middle, "e": board.ground()})
    board.two("C", "1n", board.ground(), middle)


def _island(board: Board) -> None:
    one, two, three = board.net("I"), board.net("I"), board.net("I")
    board.two("R", "1k", one, two)
    board.two("C", "1n", two, three)
    board.two("D", "", three, one, "->")


def _parallel(board: Board) -> None:
    one, two = board.old(), board.net("P")
    board.two("R", "10R", one, two)
    board.two("R", "10R", one, two)
    board.two("D", "schottky", two, one, "->")


def _chain(board: Board) -> None:
    refs = [board.ref("R") for _ in range(4)]
    links = " -- ".join(f"{ref} 220k" for ref in refs)
    board.lines.append(f"chain {board.rail()} -- {links} -- {board.some('TAP')}")
    board.parts += len(refs)


def _transformer(board: Board) -> None:
    ref = board.ref("T")
    start = board.some("PRI")
    board.written(f"{ref}.pri", "60 turns 0R8", start, board.net("DRAIN"))
    board.written(f"{ref}.aux", "8 turns 0R3", board.net("AUX"), board.ground())


def _array(board: Board) -> None:
    ref, common = board.ref("RN"), board.rail()
    for k in range(3):
        board.written(f"{ref}.{k + 1}", "4k7", common, board.some("D"))


def _dual(board: Board) -> None:
    ref = board.ref("U")
    for unit in "AB":
        pins = {"out": board.net("OUT"), "in-": board.some(), "in+": board.old()}
        board.unit(f"{ref}.{unit}", "comparator", pins)
    board.lines.append(f"supply {ref} vcc={board.rail()} gnd={board.ground()}")


MOTIFS = (
    *SMALL,
    Motif(9, 3, _gate_drive),
    Motif(8, 2, _trip),
    Motif(9, 2, _half_bridge),
    Motif(4, 1.5, _feedback),
    Motif(6, 1.5, _relay),
    Motif(6, 1.5, _amplifier),
    Motif(6, 1, _supply),
    Motif(7, 1.5, _opto_drive),
    Motif(8, 1, _channels),
    Motif(10, 0.7, _star),
    Motif(3, 0.7, _island),
    Motif(3, 0.8, _parallel),
    Motif(4, 1, _chain),
    Motif(2, 0.7, _transformer),
    Motif(3, 0.5, _array),
    Motif(2, 0.7, _dual),
)
"""All the ways, whole circuits likelier than their number says."""
