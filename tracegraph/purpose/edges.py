"""How a gate's edges change without a part, or with it shorted: waves beside waves."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tracegraph.display import show
from tracegraph.purpose.result import Deed, Finding, Rank
from tracegraph.purpose.scenes import shorted_ends
from tracegraph.stage.alter import ChangeError, apply
from tracegraph.stage.change import Change, Remove, Tie
from tracegraph.stage.duties.around import Around
from tracegraph.stage.duties.every import duty
from tracegraph.stage.jobs import source_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage
from tracegraph.waves.result import Switch, Trace, WaveError
from tracegraph.waves.running import MOST
from tracegraph.waves.wave import wave

FAR = 3  # parts between a part and the gate that it works on
MATTERS = 1.3  # times slower or faster, from which an edge is told
MANY = 10.0
LIKE = 0.2  # of the amplitude
SLOWER = 16.0  # times, to see how far a gate falls when it is given the time
PATIENCE = 8  # periods waited for where all parts are asked for
TEN_TO_NINETY = 2.197  # R C, of an exponential: ln 9, any textbook
NEAR = 2.5  # times 2.2 R C: the gate's capacitance is not one number
WITHOUT = frozenset(
    {
        "turn-off helper",
        "diode of the turn-off helper",
        "turn-off diode",
        "turn-off resistor",
        "gate capacitor",
        "speed-up capacitor",
        "upper half of the totem pole",
        "lower half of the totem pole",
    }
)
FASTER = frozenset({"gate resistor"})
SLOWLY = frozenset({"gate pull-down", "gate pull-up"})
_NO_WAY = frozenset({"connector", "testpoint"})
_PULL_DOWN = "pull-down of "


class Edges:
    """The waves at a section's gates; each is run once only."""

    def __init__(self, stage: Stage, *, thorough: bool) -> None:
        """Take a section whose values are all known.

        Args:
            stage: The section.
            thorough: Whether every wave is run that may tell something, not only
                those of parts that are there for an edge.
        """
        self.stage, self.thorough = stage, thorough
        self.around = Around(stage)
        self.untold: dict[str, str] = {}
        self._healthy: dict[str, Trace | None] = {}
        self._sections: dict[str, Stage] = {}

    def findings(self, part: Part, role: str) -> Iterator[Finding]:
        """Yield what changes at the gate that a part works on."""
        if not self._matters(part, role):
            return
        net = gate_near(self.around, part)
        if net and not self.thorough and self._floats(net):
            self.untold[net] = f"edges at {net}: ask for one of its parts alone"
            return
        was = self._of_healthy(net) if net else None
        if net is None or was is None:
            return
        if role in WITHOUT | SLOWLY or role.startswith(_PULL_DOWN):
            yield from self._compared(net, Deed.WITHOUT, was, Remove(part.ref))
        ends = shorted_ends(part)
        if ends and (role in FASTER or (self.thorough and role in SLOWLY | WITHOUT)):
            yield from self._compared(net, Deed.SHORTED, was, Tie(*ends))

    def _compared(
        self, net: str, deed: Deed, was: Trace, change: Change
    ) -> Iterator[Finding]:
        now = self._run(net, change)
        if now is None:
            return
        device = next(iter(now.switches), None)
        if device and now.measures.base > device.threshold > was.measures.base:
            slow = self._run(net, change, slower=SLOWER)
            yield self._never_off(net, deed, (was, now, slow), device)
            return
        yield from _edges(net, deed, was, now)

    def _never_off(
        self,
        net: str,
        deed: Deed,
        traces: tuple[Trace, Trace, Trace | None],
        device: Switch,
    ) -> Finding:
        """Return a gate that is still over its threshold when it rises again."""
        was, now, slow = traces
        hertz = show(was.measures.hertz or 0.0, "Hz")
        rest = (
            f"It falls no further than {show(now.measures.base, 'V', 2)} before it "
            f"rises again, so {device.ref} never turns off at {hertz}"
        )
        fall = (was.measures.fall, slow.measures.fall if slow else None)
        if slow is None or not fall[0] or not fall[1]:
            return Finding(
                Rank.ACTS,
                deed,
                (),
                net,
                was.measures.base,
                now.measures.base,
                "V",
                rest.replace("It", net, 1),
            )
        told = f"{self._only(net, fall[1])}{_fall(net, fall[0], fall[1])}"
        before, after = next(iter(was.switches), None), next(iter(slow.switches), None)
        loss = _loss(before, after, "falls") if before and after else ""
        return Finding(
            Rank.ACTS, deed, (), net, fall[0], fall[1], "s", f"{told}{loss}. {rest}"
        )

    def _only(self, net: str, seconds: float) -> str:
        """Say which resistor is left to empty a gate, where its time tells that."""
        for device, pin in self.around.on(net):
            symbol = next((one for one in ("ciss", "cies") if device.has(one)), "")
            if pin != "g" or not symbol:
                continue
            farads = device.quantity(symbol).typical or 0.0
            for other, _ in self.around.on(net, device):
                known = duty(self.around, other)
                if known is None or not known.name.startswith("gate pull"):
                    continue
                alone = TEN_TO_NINETY * (other.quantity("r").typical or 0.0) * farads
                if alone and 1 / NEAR < seconds / alone < NEAR:
                    return f"only {other.ref} empties the gate: "
        return ""

    def _matters(self, part: Part, role: str) -> bool:
        if self.thorough:
            return role in WITHOUT | FASTER | SLOWLY or role.startswith(_PULL_DOWN)
        copied = part.written != part.placed  # a sister channel's: as in the first
        for_edges = role in WITHOUT | FASTER or role.startswith(_PULL_DOWN)
        return for_edges and not copied

    def _floats(self, net: str) -> bool:
        """Return whether a gate stands on a source that moves: a long wave to run."""
        device = self.around.gated(net, None)
        fixed = self.around.grounds | self.around.returns
        return device is not None and (
            self.around.behind(source_of(device)) not in fixed
            and self._bootstrapped(device)
        )

    def _bootstrapped(self, device: Part) -> bool:
        return any(pin == "vs" for _, pin in self.around.on(source_of(device), device))

    def _of_healthy(self, net: str) -> Trace | None:
        if net not in self._healthy:
            self._healthy[net] = self._run(net)
        return self._healthy[net]

    def _around(self, net: str) -> Stage:
        if net not in self._sections:
            self._sections[net] = only_around(self.around, net)
        return self._sections[net]

    def _run(self, net: str, *changes: Change, slower: float = 1.0) -> Trace | None:
        """Return the wave at a gate, or None where it can't be told."""
        try:
            stage = apply(self._around(net), changes, keep_names=True)
            wait = MOST if self.thorough else PATIENCE
            slowed = _slowed(stage, slower)
            found = wave(slowed, net, periods=2, patience=wait).asked
        except (WaveError, ChangeError) as why:
            self.untold[net] = f"the edges at {net} are not worked out: {why}"
            return None
        if not found.settled and not changes and not self.thorough:
            self.untold[net] = f"edges at {net}: ask for one of its parts alone"
        return found if found.settled else None


def only_around(around: Around, net: str) -> Stage:
    """Return the section with the parts that a net's wave depends on.

    What hangs on rails and grounds alone is left out, and what hangs behind a shunt to
    one: these are held, so nothing passes through them.
    """
    stage = around.stage
    held = around.rails | around.returns
    held |= {one for one in stage.nets if around.behind(one) in held}
    kept = {one.ref for one in stage.parts if set(one.pins.values()) <= held}
    seen, waiting = {net}, [net]
    for link in stage.links:
        if link.trusted and net in {link.a, link.b}:
            waiting += [link.a, link.b]
    while waiting:
        for part, _ in around.on(waiting.pop()):
            if part.ref not in kept and part.kind.word not in _NO_WAY:
                kept.add(part.ref)
                fresh = set(part.pins.values()) - seen - held
                seen |= fresh
                waiting += fresh
    gone = [one.ref for one in stage.parts if one.fitted and one.ref not in kept]
    return apply(stage, [Remove(ref) for ref in gone], keep_names=True)


def _slowed(stage: Stage, times: float) -> Stage:
    """Return the section with its inputs switching more slowly."""
    inputs = (
        one._replace(hertz=one.hertz / times) if one.hertz else one
        for one in stage.inputs
    )
    return replace(stage, inputs=tuple(inputs))


def gate_near(around: Around, part: Part) -> str | None:
    """Return the gate that a part stands nearest to, told by the nets between."""
    fixed = around.grounds | around.rails | around.inputs
    nets = {net for net in part.pins.values() if net not in fixed}
    for _ in range(FAR):
        gates = sorted(net for net in nets if around.gated(net, part))
        if gates:
            return gates[0]
        nets |= set(_beyond(around, part, nets)) - fixed
    return None


def _beyond(around: Around, part: Part, nets: Iterable[str]) -> Iterator[str]:
    for net in nets:
        for other, _ in around.on(net, part):
            if len(other.pins) <= 3:
                yield from other.pins.values()


def _edges(net: str, deed: Deed, was: Trace, now: Trace) -> Iterator[Finding]:
    """Yield what is told of the edges of two waves at one gate."""
    device, after = next(iter(was.switches), None), next(iter(now.switches), None)
    high, low = now.measures.amplitude, was.measures.amplitude
    if abs(high - low) > LIKE * low:
        return  # edges of other heights are not to be compared
    for name, was_s, now_s in (
        ("falls", was.measures.fall, now.measures.fall),
        ("rises", was.measures.rise, now.measures.rise),
    ):
        if not was_s or not now_s or 1 / MATTERS < now_s / was_s < MATTERS:
            continue
        loss = _loss(device, after, name) if device and after else ""
        words = f"{_fall(net, was_s, now_s, name)}{loss}"
        yield Finding(Rank.EDGE, deed, (), net, was_s, now_s, "s", words)


def _fall(net: str, was: float, now: float, name: str = "falls") -> str:
    words = f"{net} {name} in {show(now, 's', 2)} instead of {show(was, 's', 2)}"
    return f"{words}, {_times(now / was)}"


def _times(ratio: float) -> str:
    """Return how many times slower or faster."""
    way, many = ("slower", ratio) if ratio > 1 else ("faster", 1 / ratio)
    return f"{_about(many)} times {way}"


def _loss(was: Switch, now: Switch, name: str) -> str:
    """Return what becomes of the loss of a cycle, which goes with the time it takes."""
    if was.loss is None or now.loss is None:
        return ""
    before, after = (
        (was.loss.off, now.loss.off) if name == "falls" else (was.loss.on, now.loss.on)
    )
    if not before or not after or 1 / MATTERS < after / before < MATTERS:
        return ""
    edge = "turn-off" if name == "falls" else "turn-on"
    loss = f"; {was.ref}'s {edge} loss a cycle is"
    if after > before:
        return f"{loss} {_about(after / before)} times as great"
    return f"{loss} {show(after / before, '%', 2)} of what it was"


def _about(ratio: float) -> str:
    """Return a ratio as it is said: 2.2, about 980."""
    said = f"{float(f'{ratio:.2g}'):g}"
    return f"about {said}" if ratio >= MANY else said
