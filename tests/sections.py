"""Random sections that look like a technician's: two hubs, neighbours, odd parts."""

from random import Random

from tracegraph.network.place import Placed
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.branch import (
    Branch,
    Channel,
    Conductor,
    Junction,
    Store,
    Transistor,
)

GROUND, RAIL = "COM", "P12"
REACH = 12  # how far along the copper a part reaches from net to net
DECADES = (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)  # IEC 60063, E6

Ends = tuple[str, str, str]


def section(
    random: Random, nets: int, *, parts: float = 1.5, semiconductors: float = 0.25
) -> tuple[tuple[Placed, ...], tuple[str, ...]]:
    """Return the branches of a random section and its nets.

    Args:
        random: Where the dice come from.
        nets: How many nets.
        parts: Parts a net.
        semiconductors: Share of diodes, zeners, transistors and FETs among the parts.
    """
    names = (GROUND, RAIL, *(f"N{index}" for index in range(2, nets)))[:nets]
    placed: list[Placed] = []
    for number in range(max(round(parts * nets), nets - 1)):
        ends = _ends(random, names, number)
        placed += _part(random, number, ends, bent=random.random() < semiconductors)
    return tuple(placed), names


def _ends(random: Random, names: tuple[str, ...], number: int) -> Ends:
    """Return three nets; the first parts reach every net, the others join any two."""
    known = names[: number + 1]
    here = random.randrange(len(known))
    first = names[number + 1] if number < len(names) - 1 else known[here]
    return first, _neighbour(random, known, here), _neighbour(random, known, here)


def _neighbour(random: Random, known: tuple[str, ...], here: int) -> str:
    dice = random.random()
    if dice < 0.22:
        return known[0]
    if dice < 0.34:
        return known[min(1, len(known) - 1)]
    near = here + random.randint(-REACH, REACH)
    return known[min(max(near, 0), len(known) - 1)]


def _part(random: Random, number: int, ends: Ends, *, bent: bool) -> list[Placed]:
    if not bent:
        return [Placed(f"R{number}", _passive(random), ends[:2])]
    dice = random.random()
    turned = ends[:2] if random.random() < 0.5 else (ends[1], ends[0])
    if dice < 0.35:
        return [Placed(f"D{number}", diode(random), turned)]
    if dice < 0.50:
        return [Placed(f"D{number}", zener(random), turned)]
    a, b, c = random.sample(ends, 3)
    if dice < 0.80:
        return [Placed(f"Q{number}", transistor(random), (a, b, c))]
    return _fet(random, f"Q{number}", (a, b, c))


def _passive(random: Random) -> Branch:
    dice = random.random()
    if dice < 0.15:
        return Store("1", "2", exact(10 ** random.uniform(-10, -4), "F"))
    if dice < 0.20:
        return resistor(random.choice((0.01, 0.1, 0.22)))
    return resistor(random.choice(DECADES) * 10 ** random.randint(1, 5))


def resistor(ohms: float) -> Conductor:
    """Return a resistance without spread."""
    return Conductor("1", "2", exact(ohms, "ohm"))


def drop_at(volts: float, amps: float) -> Quantity:
    """Return a voltage with its test current."""
    return Quantity(volts, volts, volts, "V", at=amps)


def junction(
    drop: float, slope: float, leak: float = 0.0, breakdown: float | None = None
) -> Junction:
    """Return a junction without spread, its drop at 1 mA."""
    back = None if breakdown is None else drop_at(breakdown, 5e-3)
    curve = exact(slope, "V/dec"), exact(leak, "A")
    return Junction("a", "k", drop_at(drop, 1e-3), *curve, back)


def diode(random: Random) -> Junction:
    """Return a silicon or Schottky diode."""
    if random.random() < 0.25:
        leak = 10 ** random.uniform(-6, -4.5)
        return junction(random.uniform(0.2, 0.3), random.uniform(0.06, 0.08), leak)
    leak = 10 ** random.uniform(-10, -8)
    return junction(random.uniform(0.5, 0.7), random.uniform(0.06, 0.12), leak)


def zener(random: Random) -> Junction:
    """Return a zener of 2.4 V to 18 V."""
    volts = random.choice((2.4, 3.3, 5.1, 12.0, 15.0, 18.0))
    return junction(random.uniform(0.65, 0.75), random.uniform(0.06, 0.09), 1e-8, volts)


def transistor(random: Random) -> Transistor:
    """Return a small NPN or PNP transistor."""
    return Transistor(
        "b",
        "c",
        "e",
        random.choice((1, -1)),
        drop_at(random.uniform(0.6, 0.7), 1e-3),
        exact(random.uniform(0.06, 0.065), "V/dec"),
        exact(random.uniform(50, 400), ""),
        exact(random.uniform(1, 10), ""),
        exact(10 ** random.uniform(-10, -8), "A"),
        drop_at(random.uniform(5, 9), 1e-3),
    )


def _fet(random: Random, owner: str, nets: Ends) -> list[Placed]:
    """Return a FET's channel and its body diode."""
    polarity = random.choice((1, -1))
    on_ohms = Quantity(*(random.uniform(0.02, 2.0),) * 3, "ohm", at=10.0)
    threshold = exact(random.uniform(1.0, 4.0), "V")
    channel = Channel("g", "d", "s", polarity, threshold, on_ohms)
    body = junction(random.uniform(0.45, 0.6), random.uniform(0.06, 0.09), 1e-8)
    _, drain, source = nets
    ends = (source, drain) if polarity > 0 else (drain, source)
    return [Placed(owner, channel, nets), Placed(owner, body, ends)]
