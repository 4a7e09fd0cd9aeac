"""What the meter shows across a part, cold: with it, and without it."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.network.circuit import UnknownValueError
from tracegraph.purpose.result import Deed, Finding, Rank
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Remove
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

COLD = "cold"
_FORWARD: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "nfet": ("s", "d"),
        "sicfet": ("s", "d"),
        "pfet": ("d", "s"),
        "igbt": ("e", "c"),
        "npn": ("b", "e"),
        "pnp": ("e", "b"),
        "opto": ("a", "k"),
        "optodriver": ("a", "k"),
    }
)
"""The junction that a diode test of a part with more than two pins goes for."""
_JUNCTIONS = frozenset({"diode", "clamp", "lamp"})
_WORDS = {Mode.OHMS: "in ohms", Mode.DIODE: "in diode test", Mode.CAP: "in capacitance"}


def read_cold(stage: Stage, part: Part) -> Iterator[Finding]:
    """Yield what a usual meter shows across a part, and without it.

    Args:
        stage: The section.
        part: One of its parts.
    """
    probe = across(part)
    if probe is None:
        return
    profile = find_meter(DEFAULT, ())
    try:
        (was,) = expect(stage, [probe], profile)
        bare = apply(stage, [Remove(part.ref)], keep_names=True)
        (now,) = expect(bare, [probe], profile)
    except UnknownValueError:
        return
    if was.error or now.error or not was.display or not now.display:
        return
    shows = (
        f"{was.display} with it or without it, so it can't be told in place"
        if was.display == now.display
        else f"{was.display} with it, {now.display} without it"
    )
    words = (
        f"{COLD}, red {probe.red}, black {probe.black}, {_WORDS[probe.mode]}: {shows}"
    )
    yield Finding(
        Rank.READING,
        Deed.WITHOUT,
        (),
        f"{probe.red} {probe.black}",
        was.typical,
        now.typical,
        was.unit,
        words,
    )


def across(part: Part) -> Probe | None:
    """Return the reading that a technician would take of a part in place."""
    ends = _FORWARD.get(part.kind.word)
    if ends and set(ends) <= part.pins.keys():
        red, black = part.pins[ends[0]], part.pins[ends[1]]
        return Probe(red, black, Mode.DIODE) if red != black else None
    nets = tuple(part.pins.values())[:2]
    two = len(part.pins) == len(set(part.pins.values())) == 2
    if not two or part.kind.word == "connector":
        return None
    job = job_of(part)
    if job in _JUNCTIONS and "a" in part.pins:
        return Probe(part.pins["a"], part.pins["k"], Mode.DIODE)
    return Probe(nets[0], nets[1], Mode.CAP if job == "capacitance" else Mode.OHMS)
