"""Which nets hang together: sections that meet in nothing that conducts are islands."""

from collections.abc import Iterator

from tracegraph.stage.branch import terminals
from tracegraph.stage.part import Part
from tracegraph.stage.stage import RestForm, Stage


def islands(stage: Stage) -> tuple[tuple[str, ...], ...]:
    """Return the nets of every island, the biggest first, nets in file order.

    An optocoupler or a transformer joins nothing; nor does a part that is not fitted.
    """
    leader: dict[str, str] = {net: net for net in stage.nets}
    for first, *others in _joints(stage):
        for other in others:
            leader[_top(leader, other)] = _top(leader, first)
    found: dict[str, list[str]] = {}
    for net in stage.nets:
        found.setdefault(_top(leader, net), []).append(net)
    return tuple(tuple(nets) for nets in sorted(found.values(), key=len, reverse=True))


def _top(leader: dict[str, str], net: str) -> str:
    """Return the net that speaks for the island of a net or inner node."""
    leader.setdefault(net, net)
    while leader[net] != net:
        net = leader[net]
    return net


def _joints(stage: Stage) -> Iterator[tuple[str, ...]]:
    """Yield what each link, rest and branch joins: nets, and nodes inside a part."""
    for link in stage.links:
        yield link.a, link.b
    for rest in stage.rests:
        if rest.form is not RestForm.NONE:
            yield rest.a, rest.b
    for part in stage.parts:
        for branch in part.kind.cold(part) if part.fitted else ():
            yield tuple(_node(part, pin) for pin in terminals(branch))


def _node(part: Part, pin: str) -> str:
    """Return the net of a pin, or a name of its own for a node inside the part."""
    return part.pins.get(pin, f"{part.ref} {pin}")
