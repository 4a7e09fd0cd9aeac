"""The electricity that decides how a section is drawn: what is up, what comes first."""

from collections.abc import Iterable, Iterator, Mapping
from heapq import heappop, heappush

from tracegraph.draw.items import Item, Section

ROUNDS = 80
WEAK = 0.05
"""Share of a capacitor in what draws a net up or down: it carries no direct current."""

OUTSIDE = 0.01
"""How much further out a rail or ground stands than a net that hangs on it alone."""

CONTROLS = {"base", "gate", "reference"}
SOURCES = ("connector", "ic")


def potentials(section: Section) -> Mapping[str, float]:
    """Return how far up every net stands: grounds 0, rails 1 and more, others between.

    Relaxation over parts as conductances, capacitors weak: only the order counts, so
    that a pull-up is drawn above the net that it pulls.
    """
    found = _fixed(section)
    fixed = frozenset(found)
    edges: dict[str, list[tuple[str, float]]] = {}
    for item in section.items:
        for a, b, share in _paths(item):
            edges.setdefault(a, []).append((b, share))
            edges.setdefault(b, []).append((a, share))
    every = dict.fromkeys(net for item in section.items for net in item.nets.values())
    free = [net for net in every if net in edges and net not in fixed]
    for _ in range(ROUNDS):
        for net in free:
            weight = sum(share for _, share in edges[net])
            drawn = sum(share * found.get(other, 0.5) for other, share in edges[net])
            found[net] = drawn / weight
    for net in fixed:  # what only hangs on one rail or ground hangs on its inner side
        found[net] += OUTSIDE if found[net] > 0 else -OUTSIDE
    return {net: found.get(net, 0.5) for net in (*every, *fixed)}


def _fixed(section: Section) -> dict[str, float]:
    """Return the grounds at 0 and the rails in the order of their volts."""
    found = {ground.net: 0.0 for ground in section.stage.grounds}
    rails = sorted(section.stage.rails, key=lambda rail: abs(rail.volts.typical or 0))
    for step, rail in enumerate(rails):
        sign = -1 if (rail.volts.typical or 0) < 0 else 1
        found[rail.net] = sign * (1 + step / 10)
    return found


def _paths(item: Item) -> Iterator[tuple[str, str, float]]:
    """Yield what leads from net to net inside a part, and how well."""
    pins = item.nets
    if len(pins) == 2:
        weak = item.part.kind.word in {"capacitor", "electrolytic", "tantalum"}
        first, second = pins.values()
        yield first, second, WEAK if weak else 1.0
        return
    mains = [net for pin, net in pins.items() if role_of(item, pin) not in CONTROLS]
    if len(pins) == 3 and len(mains) == 2:
        yield mains[0], mains[1], 1.0


def role_of(item: Item, pin: str) -> str:
    """Return what a pin is in the trade's words, or empty."""
    spec = item.part.kind.pin(pin)
    return spec.role if spec else ""


def levels(section: Section) -> Mapping[str, float]:
    """Return how many steps every net is from where the signal comes in.

    From the inputs along two-ended parts, from a base or gate to what it switches,
    from an IC's inputs to its outputs; never through a rail or ground.
    """
    steps = _steps(section)
    found: dict[str, float] = {}
    for nets in _starts(section):
        _spread(found, [net for net in nets if net not in found], steps)
    for net in section.pins:
        if net not in found:
            _spread(found, [net], steps)
    return found


def _starts(section: Section) -> Iterator[list[str]]:
    """Yield the nets that a signal may start from, the likeliest first."""
    yield [one.net for one in section.stage.inputs if one.net in section.pins]
    driven = {
        item.nets[go]
        for item in section.items
        if len(item.nets) > 2
        for _, go in _ways(item)
    }
    for word in SOURCES:
        yield [
            net
            for item in section.items
            if item.part.kind.word == word
            for net in item.nets.values()
            if net in section.pins and net not in driven
        ]
    yield [net for net in section.pins if net not in driven][:1]


def _spread(
    found: dict[str, float],
    starts: Iterable[str],
    steps: Mapping[str, list[tuple[str, float]]],
) -> None:
    heap = [(0.0, net) for net in starts]
    while heap:
        level, net = heappop(heap)
        if found.get(net, 1e9) <= level:
            continue
        found[net] = level
        for other, step in steps.get(net, ()):
            heappush(heap, (level + step, other))


def _steps(section: Section) -> Mapping[str, list[tuple[str, float]]]:
    """Return where each net leads; a part from an output to its own input leads back."""
    fed = {
        (item.nets[go], item.nets[come])
        for item in section.items
        if len(item.nets) > 2
        for come, go in _ways(item)
    }
    found: dict[str, list[tuple[str, float]]] = {}
    for item in section.items:
        ended = len(item.nets) == 2
        for come, go in _ways(item):
            a, b = item.nets[come], item.nets[go]
            if ended and not {(a, b), (b, a)}.isdisjoint(fed):
                continue
            if a in section.pins and b in section.pins and a != b:
                found.setdefault(a, []).append((b, 1.0))
    return found


def _ways(item: Item) -> Iterator[tuple[str, str]]:
    """Yield the pins that a signal goes in at, each with one that it comes out of."""
    pins = list(item.nets)
    if len(pins) == 2:
        yield pins[0], pins[1]
        yield pins[1], pins[0]
        return
    ins = [pin for pin in pins if goes_in(item, pin)]
    outs = [pin for pin in pins if pin not in ins and not _feeds(item, pin)]
    yield from ((come, go) for come in ins for go in outs)


def _feeds(item: Item, pin: str) -> bool:
    """Return whether a pin feeds its part rather than carries a signal."""
    role = role_of(item, pin)
    return role in {"supply", "ground", "floating return"}


def goes_in(item: Item, pin: str) -> bool:
    """Return whether a pin is where a signal goes into its part."""
    role = role_of(item, pin)
    told = ("input", "LED", "coil", "primary")
    return role in CONTROLS or any(word in role for word in told)
