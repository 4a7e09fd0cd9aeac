"""What is odd about a section in a state: what a colleague would say before the figures."""

from collections.abc import Iterator, Sequence

from tracegraph.display import show, volts
from tracegraph.levels.mood import Device, Mood
from tracegraph.levels.stress import Load, worth_telling
from tracegraph.meter.live.level import Live
from tracegraph.meter.live.standing import Standing
from tracegraph.stage.branch import Coil
from tracegraph.stage.stage import State

DRAGGED = 0.1  # part of its volts that a rail has lost where the section shorts it
MOST_OF = 0.5  # of a current that goes through a coil
COILS = frozenset({"inductor", "winding"})


def remarks(
    told: Live, own: State, every: Sequence[Device], bears: Sequence[Load]
) -> Iterator[str]:
    """Yield what is odd: no rest, two ways to rest, a short, a state that is denied.

    Args:
        told: The levels.
        own: The state.
        every: How the devices stand.
        bears: What the parts bear.
    """
    found = told.found[0]
    if not found.lasts:
        yield (
            "it never comes to rest in this state: it swings, and a meter shows the "
            "mean; the levels told are those that it swings about"
        )
    if len(told.found) > 1:
        yield (
            f"it may rest in {len(told.found)} ways in this state; which, depends on "
            "what was before: both levels are told"
        )
    yield from _dragged(found)
    yield from _through_coils(found, bears)
    yield from _denied(found, own, every)


def _dragged(found: Standing) -> Iterator[str]:
    """Yield the rails that the section all but shorts."""
    for rail in found.stage.rails:
        flows = found.currents.get(f"rail {rail.net}")
        wanted = rail.volts.typical
        if flows is None or not wanted:
            continue
        stands, amps = found.across(rail.net, rail.over), float(flows[0][0])
        if (wanted - stands) / wanted > DRAGGED:
            yield (
                f"{rail.net} is dragged down from {volts(wanted)} to {volts(stands)}: "
                f"{show(abs(amps), 'A', 2)} flow, as good as a short, and most supplies "
                "give up before that"
            )


def _through_coils(found: Standing, bears: Sequence[Load]) -> Iterator[str]:
    """Yield the coils that lead a current that is too great, only because it lasts."""
    near = worth_telling(tuple(bears))
    worst = max((one.value for one in near if one.unit == "A"), default=0.0)
    for placed in found.circuit.placed:
        part = found.stage.part(placed.owner)
        if part is None or part.kind.word not in COILS:
            continue
        if not isinstance(placed.branch, Coil) or not worst:
            continue
        amps = max(float(abs(one).max()) for one in found.currents[part.ref])
        if amps >= MOST_OF * worst:
            yield (
                f"{part.ref} is but a wire at rest: {show(amps, 'A', 2)} is where a "
                "drive that stays so leads to, not what its pulses do"
            )


def _denied(found: Standing, own: State, every: Sequence[Device]) -> Iterator[str]:
    """Yield where the state sets a part as its coil or gate does not."""
    for device in every:
        part = found.stage.part(device.ref)
        setting = own.settings.get(device.ref)
        if device.mood is Mood.FIRES:
            ref = device.ref
            yield (
                f"{ref} {device.words}; the levels are those before it does, and "
                f"{ref}=on in the state tells those after"
            )
        if part is None or part.kind.word != "relay" or setting not in {"on", "off"}:
            continue
        if (setting == "on") != (device.mood is Mood.ON):
            yield f"the state sets {device.ref} {setting}, but there is {device.words}"
