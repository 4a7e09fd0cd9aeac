"""What changes on a board that lacks a part, or has it shorted."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from tracegraph.display import show
from tracegraph.levels.mood import Mood
from tracegraph.meter.live.lacking import Seen
from tracegraph.purpose.actors import (
    COUPLERS,
    Actor,
    channel_of,
    stands,
    verbs,
)
from tracegraph.purpose.result import Deed, Finding, Rank
from tracegraph.purpose.scenes import FLOATING, chip_inputs
from tracegraph.stage.jobs import drain_of, job_of, source_of
from tracegraph.stage.limits import PIN_AMPS, limit_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

NO_VOLTS = 20e-3
SMALL_BASE = 20e-3  # amperes: more than any small transistor's base is driven with
LEAST_VOLTS, LEAST_SHARE = 0.3, 0.05  # a level that has moved
DEAD_SHORT = 3.0  # amperes out of a rail of a signal board
TIMES = 10.0  # more current than before
HOT = 4.0  # times as much heat as healthy


class Look(NamedTuple):
    """A healthy board beside another one, in one scene.

    Attributes:
        stage: The section.
        actors: What acts in it.
        part: The part in question.
        deed: What was done to it.
        scene: Where.
        was: The healthy board.
        now: The other one.
    """

    stage: Stage
    actors: tuple[Actor, ...]
    part: Part
    deed: Deed
    scene: str
    was: Seen
    now: Seen

    def finding(
        self,
        rank: Rank,
        subject: str,
        words: str,
        was: float | None = None,
        now: float | None = None,
        unit: str = "",
    ) -> Finding:
        """Return one thing that changes here."""
        return Finding(rank, self.deed, (self.scene,), subject, was, now, unit, words)


def findings(look: Look) -> Iterator[Finding]:
    """Yield everything that changes, in no order.

    Where leakage decides at a gate, base or input, what follows from it is not told.
    """
    floating = tuple(_floating(look))
    yield from floating
    yield from _over(look)
    if all(one.was is None for one in floating):
        yield from _acting(look)
        yield from _moved(look)


def _acting(look: Look) -> Iterator[Finding]:
    for actor in look.actors:
        ref = actor.part.ref
        if ref == look.part.ref:
            continue
        was, now = stands(actor, look.was), stands(actor, look.now)
        if not was or not now or was == now or _adrift(look, actor):
            continue
        rank = Rank.DEVICE if actor.small else Rank.ACTS
        words = f"{ref} {verbs(actor, now)[0]}"
        if channel_of(actor.part):
            at, then = (one.control.get(ref, 0.0) for one in (look.now, look.was))
            words = f"{words}: its gate gets {volts(at)} instead of {volts(then)}"
            yield look.finding(rank, ref, words, then, at, "V")
        else:
            before, after = _amps(look, ref)
            yield look.finding(rank, ref, words, before, after, "A")


def _adrift(look: Look, actor: Actor) -> bool:
    """Return whether a device's gate or base says nothing, its source being nowhere."""
    back = actor.back
    return bool(back) and _held(look.was, back) < FLOATING <= _held(look.now, back)


def _in_the_way(part: Part, net: str) -> bool:
    """Return whether a part with two ends, such as a shunt, leads a net on."""
    return (
        len(part.pins) == len({*part.pins.values()}) == 2 and net in part.pins.values()
    )


def _left_alone(look: Look, actor: Actor) -> bool:
    """Return whether a floating control net leaves a device to itself.

    One that is on all the same is driven; an optocoupler is lit by current, so only
    what keeps it dark is missed.
    """
    if job_of(actor.part) in COUPLERS:
        return stands(actor, look.was) == Mood.OFF == stands(actor, look.now)
    return stands(actor, look.now) != Mood.ON


def _floating(look: Look) -> Iterator[Finding]:
    """Yield control nets that nothing holds any more, and sources without a way back."""
    for actor in look.actors:
        net, ref = actor.control, actor.part.ref
        if not net or ref == look.part.ref:
            continue
        was, now = (_gripped(one, actor) for one in (look.was, look.now))
        if _adrift(look, actor):
            if actor.small or not _in_the_way(look.part, actor.back):
                continue
            words = f"{actor.back} floats, and the current of {ref} has no way back"
            yield look.finding(Rank.FLOATS, actor.back, words)
        elif was < FLOATING <= now and _left_alone(look, actor):
            words = f"{net} floats, and {ref} stays where leakage puts it"
            yield look.finding(Rank.FLOATS, net, words, was, _finite(now), "ohm")
    for net, ref in chip_inputs(look.stage):
        if ref == look.part.ref:
            continue
        was, now = (_held(one, net) for one in (look.was, look.now))
        if was < FLOATING <= now:
            words = f"{net} floats, and {ref} sees whatever leaks"
            yield look.finding(Rank.FLOATS, net, words, was, _finite(now), "ohm")


def _gripped(seen: Seen, actor: Actor) -> float:
    """Return what holds a device's gate to its source, or a light's anode."""
    return seen.grip.get(actor.part.ref, _held(seen, actor.control))


def _held(seen: Seen, net: str) -> float:
    return seen.ohms.get(net, float("inf"))


def _finite(ohms: float) -> float | None:
    return ohms if ohms < 1e12 else None


def _over(look: Look) -> Iterator[Finding]:
    for rail in look.stage.rails:
        owner = f"rail {rail.net}"
        was, now = _amps(look, owner)
        if now > DEAD_SHORT and now > TIMES * was:
            words = f"it shorts {rail.net}"
            yield look.finding(Rank.SUPPLY, rail.net, words, was, now, "A")
    for driven in look.stage.inputs:
        was, now = _amps(look, f"input {driven.net}")
        if was <= PIN_AMPS < now:
            words = (
                f"the controller's pin at {driven.net} has to give {show(now, 'A')}, "
                f"more than the {show(PIN_AMPS, 'A')} of a usual one"
            )
            yield look.finding(Rank.OVER, driven.net, words, was, now, "A")
    for part in look.stage.parts:
        if part.fitted and part.ref != look.part.ref:
            yield from _burning(look, part)


def _burning(look: Look, part: Part) -> Iterator[Finding]:
    was, now = _amps(look, part.ref)
    limit = limit_of(part, "A")
    if job_of(part) in {"lamp", "opto", "optodriver"}:
        was, now = (one.control.get(part.ref, 0.0) for one in (look.was, look.now))
        if limit and was < limit.most < now:
            words = f"{show(now, 'A')} flow through the diode of {part.ref}"
            yield look.finding(Rank.OVER, part.ref, words, was, now, "A")
        return
    if job_of(part) in {"npn", "pnp"}:
        yield from _small_transistor(look, part)
        return
    ohms = part.quantity("r").typical if job_of(part) == "resistance" else None
    if ohms:
        heat, before = now * now * ohms, was * was * ohms
        bears = limit_of(part, "W")
        if bears and heat > bears.most and heat > HOT * before:
            words = f"{part.ref} has to burn {show(heat, 'W')}"
            yield look.finding(Rank.OVER, part.ref, words, before, heat, "W")
        return
    if limit and was <= limit.most < now:
        words = f"{part.ref} has to carry {show(now, 'A')}"
        yield look.finding(Rank.OVER, part.ref, words, was, now, "A")


def _small_transistor(look: Look, part: Part) -> Iterator[Finding]:
    """Yield a base that takes too much, and a case that gets too hot."""
    was, now = (one.control.get(part.ref, 0.0) for one in (look.was, look.now))
    if now > SMALL_BASE and now > TIMES * abs(was):
        words = f"the base of {part.ref} takes {show(now, 'A')}"
        yield look.finding(Rank.OVER, part.ref, words, was, now, "A")
    across = (drain_of(part), source_of(part))
    was, now = (
        one.amps.get(part.ref, 0.0)
        * abs(one.volts.get(across[0], 0.0) - one.volts.get(across[1], 0.0))
        for one in (look.was, look.now)
    )
    bears = limit_of(part, "W")
    if bears and now > bears.most and now > HOT * was:
        words = f"{part.ref} has to burn {show(now, 'W')}"
        yield look.finding(Rank.OVER, part.ref, words, was, now, "W")


def _amps(look: Look, owner: str) -> tuple[float, float]:
    return look.was.amps.get(owner, 0.0), look.now.amps.get(owner, 0.0)


def _moved(look: Look) -> Iterator[Finding]:
    """Yield nets that stand elsewhere; what nothing holds says nothing."""
    own, fed = set(look.part.pins.values()), _supplies(look.stage)
    for net, was in look.was.volts.items():
        now = look.now.volts[net]
        held = max(_held(look.was, net), _held(look.now, net))
        held = 0.0 if net in fed else held
        if held >= FLOATING or abs(now - was) < max(
            LEAST_VOLTS, LEAST_SHARE * abs(was)
        ):
            continue
        if net in own or _told(look.stage, net):
            words = f"{net} stands at {volts(now)} instead of {volts(was)}"
            yield look.finding(Rank.LEVEL, net, words, was, now, "V")


def _supplies(stage: Stage) -> set[str]:
    """Return the nets on supply pins of chips: their level counts, held or not."""
    return {
        net
        for part in stage.parts
        for pin, net in part.pins.items()
        if (spec := part.kind.pin(pin)) and spec.role.endswith("supply")
    }


def volts(level: float) -> str:
    """Return a level as it is said: what is left of nothing is nothing."""
    return show(level if abs(level) >= NO_VOLTS else 0.0, "V")


def _told(stage: Stage, net: str) -> bool:
    """Return whether a net has a name of its own."""
    return net not in {f"{pin.part}.{pin.name}" for pin in stage.nets[net]}


def gathered(found: Iterator[Finding], own: Mapping[str, int]) -> tuple[Finding, ...]:
    """Return findings, those that several scenes share as one, what matters first.

    Args:
        found: The findings.
        own: How near a net is to the part: 0 for its own.
    """
    many: dict[tuple[Deed, Rank, str, str], Finding] = {}
    for one in found:
        key = (one.deed, one.rank, one.subject, one.words)
        before = many.get(key)
        scenes = (*(before.scenes if before else ()), *one.scenes)
        many[key] = one._replace(scenes=tuple(dict.fromkeys(scenes)))
    return tuple(
        sorted(
            many.values(),
            key=lambda one: (
                one.deed.value == "shorted",
                one.rank,
                own.get(one.subject, 1),
                -_size(one),
            ),
        )
    )


def _size(one: Finding) -> float:
    return abs((one.now or 0.0) - (one.was or 0.0)) if one.unit == "V" else 0.0
