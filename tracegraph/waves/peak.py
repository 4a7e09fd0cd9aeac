"""Whether what drives a gate can give the peak current that it would have to."""

from collections import deque
from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.stage.limits import PIN_AMPS
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage
from tracegraph.waves.result import Gate

OUTPUTS = ("out", "lo", "ho")
MARGIN = 1.05  # over a limit from which it is told
FAR = 4  # two-ended parts between a driver and its gate


def peaks(stage: Stage, net: str, gate: Gate | None) -> Iterator[str]:
    """Yield drivers and controller's pins that would give more than they can.

    Drivers whose outputs are joined share the current.

    Args:
        stage: The section.
        net: The gate's net.
        gate: What goes into the gate and comes out of it; None where nothing does.
    """
    if gate is None:
        return
    amps, near = max(gate.into, gate.out), _near(stage, net)
    drivers = [
        part
        for part in stage.parts
        if part.fitted
        and part.has("ipk")
        and any(part.pins.get(pin) in near for pin in OUTPUTS)
    ]
    for part in drivers:
        limit = part.quantity("ipk").typical or 0.0
        own = amps / len(drivers)
        if own > MARGIN * limit:
            whose = "its" if "ipk" in part.given else "the usual"
            yield (
                f"{part.ref} would give {show(own, 'A', 2)} at the peak, more than "
                f"{whose} {show(limit, 'A', 2)}: a real edge is slower"
            )
    if not drivers and amps > MARGIN * PIN_AMPS:
        for one in stage.inputs:
            if one.net in near:
                yield (
                    f"{one.net} would give {show(amps, 'A', 2)} at the peak, where a "
                    f"controller's pin gives {show(PIN_AMPS, 'A', 2)}: that is what a "
                    "driver is for"
                )


def _near(stage: Stage, net: str) -> set[str]:
    """Return the nets that a few two-ended parts lead to, rails and grounds apart."""
    fixed = set(stage.references)
    found, queue = {net}, deque([(net, 0)])
    while queue:
        here, steps = queue.popleft()
        for pin in stage.nets.get(here, ()) if steps < FAR else ():
            part = stage.part(pin.part)
            other = _far_end(part, here) if part and part.fitted else ""
            if other and other not in found | fixed:
                found.add(other)
                queue.append((other, steps + 1))
    return found


def _far_end(part: Part, net: str) -> str:
    """Return the other end of a part with two, or empty."""
    ends = tuple(part.pins.values())
    if len(ends) != 2:
        return ""
    return ends[1] if ends[0] == net else ends[0]
