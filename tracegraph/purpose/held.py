"""What holds a net: without a pull-up or pull-down, and beside a filter's capacitor."""

import re
from collections.abc import Iterator, Sequence

from tracegraph.display import show
from tracegraph.purpose.result import Deed, Finding, Rank
from tracegraph.purpose.scenes import FLOATING, Scene
from tracegraph.stage.duties.around import Around
from tracegraph.stage.part import Part

PULLS = re.compile(r"pull-(up|down)")
FILTERS = frozenset({"filter"})
LEAST_OHMS = 10.0  # under which a net is driven: the capacitor hardly filters
_DEAD = ": it counts when the driver is dead or out"


def still_held(
    around: Around, part: Part, role: str, stood: Sequence[Scene]
) -> Iterator[Finding]:
    """Yield that nothing floats without a pull-up or pull-down, where that is so."""
    net = _loose(around, part)
    devices = [one.ref for one, pin in around.on(net, part) if pin in {"g", "b"}]
    boards = [(one, one.without.get(part.ref)) for one in stood]
    ohms = {
        one.words: seen.grip.get(devices[0], FLOATING) if devices else seen.ohms[net]
        for one, seen in boards
        if seen and net
    }
    if not ohms or max(ohms.values()) >= FLOATING:
        return
    most, why = max(ohms.values()), _DEAD if role.startswith("gate") else ""
    words = f"{net} is still held, by {show(most, 'ohm')} at most{why}"
    scenes = tuple(ohms)
    yield Finding(Rank.HELD, Deed.WITHOUT, scenes, net, None, most, "ohm", words)


def smoothed(around: Around, part: Part, stood: Sequence[Scene]) -> Iterator[Finding]:
    """Yield how long a filter's capacitor takes: R C, of what holds its net."""
    net, farads = _loose(around, part), part.quantity("c").typical
    ohms = [one.base.ohms.get(net, FLOATING) for one in stood]
    if not ohms or not farads or not LEAST_OHMS < max(ohms) < FLOATING:
        return
    most = max(ohms)
    words = (
        f"{part.ref} smooths what is shorter than about {show(most * farads, 's', 2)}: "
        f"{show(farads, 'F')} on the {show(most, 'ohm', 2)} that hold {net}"
    )
    yield Finding(Rank.HELD, Deed.WITHOUT, (), net, None, most * farads, "s", words)


def _loose(around: Around, part: Part) -> str:
    """Return the first net of a part that is no ground, rail or return."""
    fixed = around.returns | around.rails
    return next((net for net in part.pins.values() if net not in fixed), "")
