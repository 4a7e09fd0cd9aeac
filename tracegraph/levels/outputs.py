"""How the output of a chip stands: driven, pulled, held, lit, or locked out."""

from math import exp

from tracegraph.display import show, volts
from tracegraph.levels.mood import FLOWS, LEAST_VOLTS, SATURATED, Device, Mood, Stood
from tracegraph.stage.branch import Follower

TURNED = 0.02  # share of its swing within which an output has turned over
ENOUGH = 0.9  # part of its volts from which a regulator regulates


def output(one: Stood, branch: Follower, *, locked: bool) -> Device:
    """Tell an output by what its control does to it."""
    ref, control = one.part.ref, one.over(3, 4)
    nets = (one.nets[3], one.nets[4]), (one.nets[0], one.nets[1])
    amps = abs(float(one.amps[0]))
    supply = one.over(2, 1)
    if locked:
        least = branch.lockout.typical if branch.lockout else None
        words = f"locked out: {volts(supply, 3)} of supply"
        words += f", it wants {volts(least, 2)}" if least else ""
        return Device(ref, Mood.LOCKED, words, amps, 0.0, *nets)
    if branch.transfer is not None:
        return _coupled(one, branch, amps, nets)
    share = _share(branch, control)
    out, out_net = volts(one.over(0, 1), 3), one.nets[0]
    by = _by(one, branch)
    if branch.pulls == "down":
        pulled = amps > FLOWS or share < 1 - TURNED
        if one.nets[3] != one.nets[1] and one.nets[0] != one.nets[4]:
            words = (
                f"pulls {out_net} low ({by})" if pulled else f"lets {out_net} go ({by})"
            )
        else:
            words = f"holds {out}" if pulled else _waits(one, branch)
        mood = Mood.LOW if pulled else Mood.HIGH
        return Device(ref, mood, words, amps, 0.0, *nets)
    if branch.pulls == "up":
        return Device(ref, Mood.ON, _given(one, branch), amps, 0.0, *nets)
    if TURNED < share < 1 - TURNED:
        words = f"holds {out_net} at {out} ({by})"
        return Device(ref, Mood.BETWEEN, words, amps, 0.0, *nets)
    high = share > 1 / 2
    words = f"drives {out_net} {'high' if high else 'low'} ({by})"
    return Device(ref, Mood.HIGH if high else Mood.LOW, words, amps, 0.0, *nets)


def _given(one: Stood, branch: Follower) -> str:
    """Return what a regulator gives, and why that is too little."""
    out, wanted = abs(one.over(0, 1)), abs(branch.threshold.typical or 0.0)
    if out >= ENOUGH * wanted:
        return f"gives {volts(out)}"
    some = f"only {volts(out)}" if out >= LEAST_VOLTS else "nothing"
    fed = volts(abs(one.over(2, 1)))
    return f"gives {some} instead of {volts(wanted)}: {fed} at its input"


def _waits(one: Stood, branch: Follower) -> str:
    """Return why a shunt regulator takes nothing."""
    at, limit = volts(one.over(4, 3)), volts(abs(branch.threshold.typical or 0.0))
    return f"takes nothing: {at} at its reference, and it wants {limit}"


def _by(one: Stood, branch: Follower) -> str:
    """Return what stands at an output's inputs."""
    if branch.minus == branch.low or one.part.kind.word == "bridgedriver":
        limit = branch.threshold.typical or 0.0
        return (
            f"{volts(one.over(3, 4))} at its input, it turns over at {volts(limit, 2)}"
        )
    if branch.control is not None:
        return f"LED {volts(one.over(3, 4), 2)}"
    plus, minus = volts(one.over(3, 1)), volts(one.over(4, 1))
    return f"in+ at {plus}, in- at {minus}"


def _share(branch: Follower, control: float) -> float:
    power = branch.gain * (control - (branch.threshold.typical or 0.0))
    return 1 / (1 + exp(-max(min(power, 500.0), -500.0)))


def _coupled(
    one: Stood, branch: Follower, amps: float, nets: tuple[tuple[str, ...], ...]
) -> Device:
    """Tell an optocoupler by what lights it."""
    ref, led, left = one.part.ref, volts(one.over(3, 4), 2), one.over(0, 1)
    if amps < FLOWS:
        return Device(ref, Mood.OFF, f"dark (LED {led})", amps, 0.0, *nets)
    ratio = branch.transfer.typical if branch.transfer else None
    flow = f"LED {led}, {show(amps, 'A', 2)} out"
    if left < SATURATED:
        words = f"lit, its output pulled down ({flow})"
        return Device(ref, Mood.SATURATED, words, amps, 0.0, *nets)
    words = f"lit, its output limited by a transfer of {show(ratio or 0.0, '%', 2)}"
    return Device(ref, Mood.ACTIVE, f"{words} ({flow})", amps, 0.0, *nets)
