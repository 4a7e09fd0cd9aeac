"""The walk through a section in one state, in words, from where the state comes in."""

from collections.abc import Iterator, Mapping, Sequence

from tracegraph.display import volts
from tracegraph.levels.device import IDLE
from tracegraph.levels.emptying import emptied
from tracegraph.levels.mood import Device, Mood
from tracegraph.levels.path import Paths, beginnings, in_order
from tracegraph.meter.live.level import Level, Live
from tracegraph.meter.live.standing import Standing

LETS_GO = frozenset({"comparator", "opto", "hall"})
"""Kinds whose output only pulls down: when it lets go, others hold the net."""
NEAR = 0.05  # volts that are called near 0 V
NAMED = 3  # resistors on a way that are named


def walk(
    live: Live, devices: Sequence[Device], before: Standing | None = None
) -> tuple[str, ...]:
    """Return the walk, a sentence a device.

    Args:
        live: The levels.
        devices: How the devices stand.
        before: The state before, from which charged gates are emptied.
    """
    found = live.found[0]
    way = _Walk(Paths(found), {one.net: one for one in live.levels})
    begin = beginnings(found.stage, live.state)
    said = [*way.begun(begin)]
    for device in in_order(devices, way.paths, begin):
        said += way.told(device)
    if before is not None:
        said += emptied(before, found)
    return tuple(said)


class _Walk:
    """Where the walk has come: which nets are told, and which are held by what."""

    def __init__(self, paths: Paths, levels: Mapping[str, Level]) -> None:
        self.paths, self.levels = paths, levels
        self.heard = set(paths.fixed)
        self.held = set(paths.fixed)

    def begun(self, nets: Sequence[str]) -> Iterator[str]:
        """Yield how the state comes in."""
        for net in nets:
            level = self.levels.get(net)
            if level is None or net in self.paths.fixed:
                continue
            self.heard.add(net)
            self.held.add(net)
            if self.paths.found.driven(net):
                yield f"{net} stands {_where(level)}."
            else:
                left = "" if level.floats else f" It stands {_where(level)}."
                yield f"{net} is driven by nothing in this state.{left}"

    def told(self, device: Device) -> Iterator[str]:
        """Yield what a device does, and where that leaves its nets."""
        nets = [n for n in (*device.controls, *device.carries) if n in self.levels]
        unsure = next((net for net in nets if self.levels[net].uncertain), None)
        if unsure is not None:
            self.heard |= set(nets)
            why = self.levels[unsure].uncertain[0]
            yield f"{device.ref}: not known, {unsure} depends on {why}."
            return
        if device.mood is Mood.BLOCKS:
            idle = device.words == IDLE or self.paths.fixed & set(device.carries)
            if not idle:
                yield f"{device.ref} {device.words}."
            return
        if self._gated(device):
            yield from self._carried(device.controls[0])
        fresh = [n for n in device.carries if n not in self.heard and n in self.levels]
        self.heard |= set(fresh)
        if not self._idle(device):
            self.held |= set(device.carries)
        tail = ", ".join(self._left(net, device) for net in fresh)
        yield f"{device.ref} {device.words}" + (f": {tail}." if tail else ".")
        self.held |= set(fresh)

    def _gated(self, device: Device) -> bool:
        part = self.paths.found.stage.part(device.ref)
        return part is not None and "g" in part.pins and len(device.controls) == 1

    def _carried(self, gate: str) -> Iterator[str]:
        """Yield what carries the drive on to a gate."""
        level = self.levels.get(gate)
        if gate in self.heard or level is None:
            return
        self.heard.add(gate)
        holder = self.paths.holder(gate, self.held)
        if level.volts is None:
            yield f"{gate} floats."
            return
        if holder is None or not holder.parts:
            yield f"{gate} is {_where(level)}."
            return
        parts, several = _named(holder.parts)
        if holder.net in self.paths.fixed:
            verb = "hold" if several else "holds"
            yield f"{parts} {verb} {gate} {_where(level)}."
        else:
            verb = "carry" if several else "carries"
            yield f"{parts} {verb} {holder.net} on to {gate}: {_at(level)}."

    def _idle(self, device: Device) -> bool:
        """Return whether a device leaves its nets to others."""
        part = self.paths.found.stage.part(device.ref)
        lets_go = part is not None and part.kind.word in LETS_GO
        return device.mood in {Mood.OFF, Mood.BLOCKS} or (
            device.mood is Mood.HIGH and lets_go
        )

    def _left(self, net: str, device: Device) -> str:
        """Return where a net stands, and what holds it where the device does not."""
        level = self.levels[net]
        if level.volts is None:
            return f"{net} floats"
        holder = self.paths.holder(net, self.held) if self._idle(device) else None
        if holder is None or not holder.parts:
            return f"{net} {_at(level)}"
        parts, several = _named(holder.parts)
        up = self._high(holder.net)
        verb = ("lift" if up else "hold") + ("" if several else "s")
        where = f"to {_at(level)}" if up else _where(level)
        return f"{parts} {verb} {net} {where}"

    def _high(self, net: str) -> bool:
        level = self.levels.get(net)
        return level is not None and abs(level.volts or 0.0) > NEAR


def _named(parts: Sequence[str]) -> tuple[str, bool]:
    """Return parts in a row, and whether they are several."""
    *first, last = parts[:NAMED]
    return (f"{', '.join(first)} and {last}", True) if first else (last, False)


def _where(level: Level) -> str:
    """Return a level after a verb: `at 4.72 V`, `near 0 V`."""
    told = _at(level)
    return told if told.startswith("near") else f"at {told}"


def _at(level: Level) -> str:
    """Return a level in a word or two."""
    if level.uncertain:
        return "an unknown level"
    if level.volts is None:
        return "nothing in particular: it floats"
    return "near 0 V" if 0 < abs(level.volts) < NEAR else volts(level.volts)
