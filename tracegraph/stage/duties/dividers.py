"""What the resistors of dividers are there for."""

from tracegraph.stage.duties.around import Around, both_ways, ends
from tracegraph.stage.duties.duty import Duty
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part

APART = 3.0
"""How many times an upper half is a lower one where nothing is seen at their tap."""


def output_divider(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor on the reference pin of a regulator."""
    for near, far in both_ways(part):
        chip = around.at(near, part, ("shuntreg",), ("ref",))
        if chip is None or chip.pins.get("k") in {near, far}:
            continue
        up, down = "the output goes too high", "the output goes too low"
        if far == chip.pins.get("a"):
            return Duty("lower half of the output divider", down, down, up)
        return Duty("upper half of the output divider", up, up, down)
    return None


def divider(around: Around, part: Part) -> Duty | None:
    """Return the duty of a resistor above or below a tap, a chain's other ones too."""
    for near, far in both_ways(part):
        name, fixed = around.called(near), around.grounds | around.rails
        above = around.alone_with(near, part)
        if near in fixed or around.at(near, part, ("regulator",), ("out",)):
            continue
        if above and far in around.grounds and not _lesser(part, above):
            continue
        if far in around.grounds and not _from_above(around, part):
            continue
        if around.at(far, part, ("scr", "triac"), ("g",)):
            continue
        up, down = f"{name} stands too high", f"{name} stands too low"
        if far in around.grounds:
            return Duty("lower half of the divider", up, up, down)
        tap = _tap(around, part, near)
        if tap:
            name = around.called(tap)
            up, down = f"{name} stands too high", f"{name} stands too low"
            return Duty("upper half of the divider", down, down, up)
    return None


def _lesser(lower: Part, upper: Part) -> bool:
    """Return whether two resistors alone with each other make a tap, not a chain."""
    if job_of(upper) != "resistance" or job_of(lower) != "resistance":
        return False
    least, most = (one.quantity("r").typical for one in (lower, upper))
    return bool(least and most and APART * least <= most)


def _from_above(around: Around, part: Part) -> bool:
    """Return whether another resistor leads to a part's upper end from elsewhere."""
    upper = next((net for net in ends(part) if net not in around.grounds), "")
    return any(
        job_of(other) == "resistance" and around.far(other, upper) not in around.grounds
        for other, _ in around.on(upper, part)
    )


def _tap(around: Around, part: Part, net: str) -> str:
    """Return the tap that a chain of resistors leads down to, or empty."""
    for _ in around.stage.parts:
        below = around.alone_with(net, part)
        for other, _pin in around.on(net, part):
            grounded = (
                job_of(other) == "resistance" and set(ends(other)) & around.grounds
            )
            if grounded and below is None:
                return net
        if below and len(below.pins) == 2 and set(ends(below)) & around.grounds:
            return net if _lesser(below, part) else ""
        if below is None or job_of(below) != "resistance":
            return ""
        part, net = below, around.far(below, net)
    return ""
