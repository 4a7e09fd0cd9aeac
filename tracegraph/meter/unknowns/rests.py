"""What hangs on rails and plugs, cold: unknown until measured.

A cold rail is neither a source nor open. The usual figures are common practice, no
source: 200 ohm to 100 kohm on a rail, and a chip's junction from ground to it.
"""

from collections.abc import Iterator

from tracegraph.meter.unknowns.unknown import Alternative, Unknown, junction, resistor
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage

REST_OHMS = 1e3
FAINT_OHMS = 100e3


def rests_asked(stage: Stage) -> tuple[tuple[str, str], ...]:
    """Return the pairs whose `rest` is not known yet: rails first, then plugs."""
    grounds = grounds_of(stage)
    first = next((ground.net for ground in stage.grounds), "")
    rails = [(one.net, one.over) for one in stage.rails]
    plugs = [(net, grounds.get(net, first)) for net in _plugged(stage)]
    known = {frozenset((rest.a, rest.b)) for rest in stage.rests}
    return tuple(
        (net, ground)
        for net, ground in (*rails, *plugs)
        if ground and net != ground and frozenset((net, ground)) not in known
    )


def _plugged(stage: Stage) -> list[str]:
    """Return nets at inputs and connector pins of which nothing else is said."""
    settled = {*stage.references, *stage.unplugged}
    pins = [
        net
        for part in stage.parts
        if part.kind.word == "connector" and part.fitted
        for net in part.pins.values()
    ]
    nets = dict.fromkeys([*(one.net for one in stage.inputs), *pins])
    return [net for net in nets if net not in settled]


def rests(stage: Stage) -> Iterator[Unknown]:
    """Yield what hangs on every rail and plug that no `rest` line speaks of."""
    rails = {rail.net for rail in stage.rails}
    inputs = {one.net for one in stage.inputs}
    for net, ground in rests_asked(stage):
        ask = f"measure {net}-{ground} and write `rest {net} -- {ground} ...`"
        if net in rails:
            yield Unknown(f"what else hangs on {net}", _loads(net, ground), ask)
            continue
        subject = (
            f"what drives {net}" if net in inputs else f"what is plugged in on {net}"
        )
        ask += f", or `nothing on {net}` if its plug is out"
        yield Unknown(subject, _plug(net, ground), ask)


def _loads(net: str, ground: str) -> tuple[Alternative, ...]:
    """Return what usually hangs on a rail."""
    faint = (
        resistor(f"faint rest of {net}", net, ground, FAINT_OHMS),
        junction(f"chip on {net}", ground, net),
    )
    rest = resistor(f"rest of {net}", net, ground, REST_OHMS)
    return (
        Alternative("1 k", (rest,), 0.5),
        Alternative("100 k and a chip's junction", faint, 0.3),
        Alternative("nothing else", (), 0.2),
    )


def _plug(net: str, ground: str) -> tuple[Alternative, ...]:
    """Return what usually stands behind an input or a plug: a chip's pin, or nothing.

    The chip's own supply is not in the section; it has the usual rest.
    """
    upper = f"upper junction behind {net}"
    pin = (
        junction(f"lower junction behind {net}", ground, net),
        junction(upper, net, f"{upper}.k"),
        resistor(f"supply behind {net}", f"{upper}.k", ground, REST_OHMS),
    )
    return Alternative("a chip's pin", pin, 0.6), Alternative("nothing", (), 0.4)
