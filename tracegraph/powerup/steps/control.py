"""Step four: the control rails alone, and what must be there."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.meter.live.level import Level
from tracegraph.powerup.cautions import live
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.record import Read, Step
from tracegraph.powerup.steps.supply import limit_of
from tracegraph.stage.jobs import gate_of

_HOLDING = frozenset({"zener", "shuntreg", "regulator", "adjustableregulator"})
LEAST_OHMS = 100.0  # before an input, so that a slip costs nothing
STANDS = 0.1  # volts under which a level that stays says nothing
NETS = 7  # read in every state


def control(facts: Facts) -> Step | None:
    """Return the readings with the control rails alone, or None without any supply."""
    inside = [(chip, net) for chip, net in facts.fed_inside if net]
    if not (facts.control or inside):
        return None
    return Step(
        "control",
        "Control supplies alone",
        live=True,
        cautions=live(facts),
        do=tuple(_do(facts)),
        read=(*_rails(facts), *_levels(facts), *_inside(facts)),
        need=(*_present(facts), "nothing gets warm, nothing smells"),
        stop=(
            "a rail under what is shown, or its supply in the limit",
            "a level off by more than a tenth of the rail: find out before you go on",
        ),
        unknown=tuple(_unknown(facts)),
    )


def _do(facts: Facts) -> Iterator[str]:
    names = [one.net for one in facts.control if one.volts.known]
    if names:
        yield f"switch on {listed(names)}, nothing else"
    ways: dict[str, list[str]] = {}
    for one in facts.stage.inputs:
        low, high = one.low.typical, one.high.typical
        if low is not None and high is not None:
            ohms = show(max(one.via.typical or 0.0, LEAST_OHMS), "ohm")
            how = f"{show(low, 'V')} or {show(high, 'V')} from the bench through {ohms}"
            ways.setdefault(how, []).append(one.net)
    for how, nets in ways.items():
        each = " each" if len(nets) > 1 else ""
        yield f"with the controller unplugged give {listed(nets)} {how}{each}"
    if facts.contacts:
        names = [one.ref for one in facts.contacts]
        verb = "switch" if len(names) > 1 else "switches"
        yield f"what {listed(names)} {verb} stays unplugged: contacts may click, no more"


def _rails(facts: Facts) -> Iterator[Read]:
    for rail in facts.control:
        volts = rail.volts
        if volts.typical is None:
            continue
        limit = limit_of(facts, rail)
        under = f"under half of {show(limit, 'A')} is drawn" if limit else ""
        shows = f"{show(volts.low, 'V')} to {show(volts.high, 'V')}"
        yield Read(
            rail.net, rail.over, "volts", shows, volts.low, volts.high, "", under
        )


def _levels(facts: Facts) -> Iterator[Read]:
    """Yield a few nets in every state: inputs, outputs on the way, gates."""
    for net in telling(facts):
        over = facts.over(net)
        for state in facts.states:
            one = state.level(net, over)
            volts = state.between(net, over)
            if one:
                yield _level(one, state.names)
            elif volts is not None:
                yield Read(net, over, "volts", told(volts), state=state.names)


def _level(one: Level, state: str) -> Read:
    """Return what the meter shows of a level, with its window."""
    where, why = (
        (one.net, one.ground, "volts"),
        one.uncertain[0] if one.uncertain else "",
    )
    if one.floats:
        return Read(*where, "floats", state=state, why="nothing holds it")
    why = f"depends on {why}" if one.shown is None else why
    shown = "unknown" if one.shown is None else told(one.shown)
    if one.window is None:
        return Read(*where, shown, state=state, why=why or "its window is not known")
    low, high = map(told, one.window)
    if one.shown is None:
        words = f"{low} to {high}"
    else:
        words = shown if low == high == shown else f"{shown} ({low} to {high})"
    return Read(*where, words, *one.window, state, why)


def told(volts: float) -> str:
    """Return volts without the digits that no hand holds still."""
    return show(round(volts, 2) if abs(volts) < 1 else volts, "V")


def telling(facts: Facts) -> tuple[str, ...]:
    """Return the nets that differ most between states, gates first."""
    gates = [gate_of(one.device) for one in facts.drives]
    fixed = {*facts.stage.references, *(one.net for one in facts.stage.inputs)}
    fixed |= {one.net for one in facts.high}
    inner = {str(pin) for pins in facts.stage.nets.values() for pin in pins}
    moved = sorted(
        (
            net
            for net in facts.control_stage.nets
            if net not in {*fixed, *inner} and net not in gates
        ),
        key=lambda net: -_swing(facts, net),
    )
    chosen = [one for one in moved if _swing(facts, one) > 0.1]
    first = [one for one in gates if one] + [
        one for one in _held(facts) if one in moved
    ]
    still = [one for one in moved if _stands(facts, one)]
    return tuple(dict.fromkeys(first + chosen + still))[:NETS]


def _stands(facts: Facts, net: str) -> bool:
    """Return whether a net has a level that is worth reading though it stays."""
    over = facts.over(net)
    levels = [state.level(net, over) for state in facts.states]
    return bool(levels) and all(
        one and one.volts is not None and abs(one.volts) > STANDS for one in levels
    )


def _held(facts: Facts) -> Iterator[str]:
    """Yield nets that a zener, reference or regulator holds: they must be there first."""
    for part in facts.control_stage.parts:
        if part.fitted and part.kind.word in _HOLDING:
            yield part.pins.get("out", part.pins.get("k", ""))


def _swing(facts: Facts, net: str) -> float:
    over = facts.over(net)
    volts = [v for one in facts.states if (v := one.between(net, over)) is not None]
    return max(volts) - min(volts) if volts else 0.0


def _inside(facts: Facts) -> Iterator[Read]:
    for chip, net in facts.fed_inside:
        if net:
            yield Read(
                net,
                facts.over(net),
                "volts",
                "not known",
                why=f"note where the current of {chip.package} jumps: it starts there",
            )


def _present(facts: Facts) -> Iterator[str]:
    names = [one.net for one in facts.control if one.volts.known]
    if names:
        yield f"{listed(names)} there, no supply in its limit"
    gates = [gate_of(one.device) for one in facts.drives if gate_of(one.device)]
    if gates:
        yield f"{listed(gates)} at the source's level, or below, with no drive asked for"


def _unknown(facts: Facts) -> Iterator[str]:
    if facts.control and not facts.stage.states:
        yield "no state is declared, so no levels are shown: declare `state` lines"
    for chip in facts.unknown_chips:
        yield (
            f"{chip.package} is not known: its pins have no levels here. Read each "
            "against its ground, write them down, and compare with a good board"
        )
