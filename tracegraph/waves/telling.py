"""What a wave means, in the words of a colleague: the gate, the device, the change."""

from collections.abc import Iterator

from tracegraph.display import show, volts
from tracegraph.waves.inputs import EDGE
from tracegraph.waves.result import Loss, Measures, Switch, Wave

ALIKE = 1.3  # times; edges closer than that are alike
LOWER = 0.05  # of an amplitude; less is alike
LEAST_AMPS = 20e-3  # that a switch must carry for its loss to say anything
LINGERING = 0.05  # of a period between off and fully on: too long


def edge_words(seconds: float) -> str:
    """Return how long an edge takes; none is followed closer than the input's own.

    >>> edge_words(3.5e-7), edge_words(2e-9)
    ('350 ns', 'under 20 ns')
    """
    return show(seconds, "s") if seconds >= EDGE else f"under {show(EDGE, 's')}"


def told(wave: Wave) -> tuple[str, ...]:
    """Return what there is to say of a wave, the gravest first."""
    asked, healthy = wave.asked, wave.healthy
    found = [*_dead(wave)]
    if healthy and healthy.switches_here and asked.switches_here:
        found += _changed(asked.measures, healthy.measures)
    for one in asked.switches:
        found += _device(one)
    if not asked.settled:
        found.append(
            f"It has not settled after {asked.periods} periods: what is shown is "
            "still on its way"
        )
    return tuple(found)


def _dead(wave: Wave) -> Iterator[str]:
    if wave.asked.switches_here:
        return
    level = volts(wave.asked.measures.base)
    if wave.healthy and wave.healthy.switches_here:
        yield f"Nothing switches {wave.net} any more: it rests at {level}"
    elif not wave.asked.settled:
        yield f"{wave.net} hardly moves within a period: {level} by now"
    else:
        yield (
            f"DC only: nothing in this section switches {wave.net}; its level is "
            f"{level}; ask `tracegraph levels`"
        )


def _changed(asked: Measures, healthy: Measures) -> Iterator[str]:
    """Yield what is not as it is in the healthy section."""
    if healthy.amplitude and abs(asked.amplitude / healthy.amplitude - 1) > LOWER:
        yield (
            f"The amplitude is {volts(asked.amplitude)}, healthy "
            f"{volts(healthy.amplitude)}"
        )
    for name, one, other in (
        ("rise", asked.rise, healthy.rise),
        ("fall", asked.fall, healthy.fall),
    ):
        if one and other and not 1 / ALIKE < max(one, EDGE) / max(other, EDGE) < ALIKE:
            ratio = f"{_times(one / other)} as long: " if min(one, other) > EDGE else ""
            yield (
                f"The {name} takes {ratio}{edge_words(one)}, healthy {edge_words(other)}"
            )


def _times(ratio: float) -> str:
    """Return how many times, to two digits.

    >>> _times(59.7), _times(0.341)
    ('60 times', '0.34 times')
    """
    return f"{float(f'{ratio:.2g}'):g} times"


def _device(one: Switch) -> Iterator[str]:
    if one.least > one.threshold:
        yield (
            f"{one.ref} never switches off: its gate stays over "
            f"{volts(one.least)}, its threshold is "
            f"{show(one.threshold, 'V')}"
        )
    elif one.most < one.threshold:
        yield (
            f"{one.ref} stays off: its gate gets to {volts(one.most)}, "
            f"its threshold is {show(one.threshold, 'V')}"
        )
    elif not one.fully:
        yield (
            f"{one.ref} is never fully on: its gate gets to "
            f"{show(one.most, 'V')} and wants {show(one.on_volts, 'V')}; "
            "it works in its linear region and burns"
        )
    elif one.between > LINGERING:
        yield (
            f"{one.ref} stays between off and fully on for {show(one.between, '%', 2)} "
            f"of the time ({show(one.threshold, 'V')} to {show(one.on_volts, 'V')}): it heats"
        )
    if one.loss:
        yield _loss(one.ref, one.loss)


def _loss(ref: str, loss: Loss) -> str:
    if loss.amps is not None and (
        loss.amps < LEAST_AMPS or not max(loss.on, loss.off) > 0
    ):
        return (
            f"{ref} has next to nothing to switch: {show(loss.amps, 'A')} at its "
            "edges, so no loss is told"
        )
    times = f"{ref} takes {show(loss.on, 's')} to switch on, {show(loss.off, 's')} off"
    if loss.amps is None or loss.joules is None or loss.solved is None:
        return (
            f"{times}; no load stands in the section: at {show(loss.volts, 'V')} that "
            f"is {show(loss.watts_an_ampere, 'W')} for every ampere of one (half V "
            f"times I times both times, times f){_plug(loss)}"
        )
    watts = loss.joules * loss.hertz
    return (
        f"{times}; {show(loss.volts, 'V')} and {show(loss.amps, 'A')} make "
        f"{show(loss.joules, 'J')} a cycle, {show(watts, 'W')} (half V times I times "
        f"both times); followed moment by moment {show(loss.solved, 'J')}"
    )


def _plug(loss: Loss) -> str:
    """Return how to plug a load in, where it is known between which nets."""
    return f'; plug one in, such as --with "{loss.load}"' if loss.load else ""
