"""What each net should read to its own ground, to be laid over the drawing."""

from collections.abc import Iterator, Sequence

from tracegraph.draw.overlay import Mark, OnNet, Overlay, Role
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.stage.reading import Mode
from tracegraph.stage.reference import grounds_of
from tracegraph.stage.stage import Stage
from tracegraph.views.expected_page import MODES, healthy

TITLE = "expected to ground: ohms, diode (red on the net)"
USED = (Mode.OHMS, Mode.DIODE)
UNKNOWN = "?"
GAP = " · "


def readings_overlay(stage: Stage, profile: Profile) -> Overlay:
    """Return the readings of a healthy section, one mark a net, board cold.

    A net that no ground reaches has no mark: there is nothing to put black on. Where
    an unknown decides, the mark says `?` and its long text what to measure.

    Args:
        stage: The section.
        profile: The meter.
    """
    grounds = grounds_of(stage)
    modes = [mode for mode in USED if profile.scales(mode)]
    nets = [net for net in stage.nets if grounds.get(net, net) != net]
    probes = [Probe(net, grounds[net], mode) for net in nets for mode in modes]
    found = expect(stage, probes, profile)
    marks = tuple(
        reading_mark(net, found[k * len(modes) : (k + 1) * len(modes)])
        for k, net in enumerate(nets)
    )
    return Overlay(TITLE, marks, legend=tuple(_legend(profile, marks)))


def reading_mark(net: str, readings: Sequence[Expected]) -> Mark:
    """Return the mark of one net from its readings, in the order of the title."""
    shown = [_short(one) for one in readings]
    text = UNKNOWN if set(shown) == {UNKNOWN} else GAP.join(shown)
    more = "\n".join(
        (f"Red on {net}, black on {readings[0].black}.", *map(_long, readings))
    )
    return Mark(OnNet(net), Role.READING, text, more=more)


def _legend(profile: Profile, marks: Sequence[Mark]) -> Iterator[str]:
    yield f"ohms, then diode test, red on the net; cold board, meter {profile.name}"
    if any(UNKNOWN in mark.text for mark in marks):
        yield f"{UNKNOWN}  an unknown decides: ask `tracegraph expect` about that net"


def _short(one: Expected) -> str:
    """Return what the display shows; `?` where an unknown decides or none was found."""
    decided = not one.error and not one.uncertain and len(one.cases) == 1
    return one.display if decided else UNKNOWN


def _long(one: Expected) -> str:
    """Return a reading with its window, why it is so, and what to heed."""
    mode = MODES[one.mode]
    if one.error:
        return f"{mode}: {one.error}."
    window = healthy(one).rstrip(".")
    said = (
        f"{mode} {one.display}" + (f" ({window})" if window else ""),
        one.reason,
        f"watch it: {one.early}" if one.early else "",
        next(iter(one.uncertain), ""),
        one.ask if one.uncertain else "",
    )
    return "; ".join(words.rstrip(".") for words in said if words) + "."
