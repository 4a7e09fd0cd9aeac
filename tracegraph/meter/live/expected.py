"""Volts between two points of a powered section, as an expected reading."""

from collections.abc import Sequence
from dataclasses import replace

from tracegraph.display import volts
from tracegraph.meter.expected import Bound, Case, Expected
from tracegraph.meter.live.level import Level, between
from tracegraph.meter.live.standing import StandingError
from tracegraph.meter.profile import Profile
from tracegraph.stage.reading import Condition, Mode
from tracegraph.stage.stage import Stage


def expected_volts(
    section: Stage,
    pairs: Sequence[tuple[str, str]],
    profile: Profile,
    condition: Condition,
) -> list[Expected]:
    """Return what a voltmeter shows, pair by pair.

    Args:
        section: The section as it stands on the bench.
        pairs: Nets of red and black.
        profile: The meter.
        condition: How the bench stands; a cold board has no volts.
    """
    shells = [Expected(*pair, Mode.VOLTS, condition, profile.name) for pair in pairs]
    if condition.cold:
        error = "a board without power has no volts: name a state"
        return [replace(one, error=error) for one in shells]
    try:
        found, levels = between(section, condition.power, profile, pairs)
    except StandingError as fault:
        return [replace(one, error=str(fault)) for one in shells]
    flaw = max(one.residual for one in found)
    return [
        replace(_told(shell, level), residual=flaw)
        for shell, level in zip(shells, levels, strict=True)
    ]


def _told(shell: Expected, level: Level) -> Expected:
    """Return one level as an expected reading."""
    shown = level.shown if level.shown is not None else level.volts
    several = bool(level.uncertain or level.others)
    low, high = level.window or (None, None)
    if level.plug:
        display = "unknown"
    elif level.uncertain:
        display = " to ".join(map(volts, level.window)) if level.window else "unknown"
    else:
        every = sorted({shown or 0.0, *level.others})
        display = " or ".join(dict.fromkeys(map(volts, every)))
    case = Case(low, high, open=False, why="", share=1.0, display=display)
    return replace(
        shell,
        cases=(case,),
        typical=None if several else shown,
        display=display,
        bound=Bound.ANYTHING if level.uncertain or level.plug else Bound.NONE,
        reason=_reason(level),
        uncertain=tuple(f"{display}: depends on {one}" for one in level.uncertain),
        ask=level.ask,
        low=low,
        high=high,
        worst_low=low,
        worst_high=high,
    )


def _reason(level: Level) -> str:
    """Say what lies behind a display that is not the level itself."""
    if level.floats:
        if level.plug:
            return f"what is plugged in at {level.plug} decides; unplugged it floats"
        return f"nothing holds {level.net}, leakage and the meter decide what it shows"
    if level.others:
        return "the section may rest in several ways"
    if level.loaded and level.volts is not None:
        return f"{volts(level.volts)} without the meter, which takes the rest away"
    return ""
