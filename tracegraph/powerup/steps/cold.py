"""Step one: look, then ohms, board cold."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.expected import Expected
from tracegraph.meter.profile import Profile
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.link.record import METER
from tracegraph.powerup.record import Read, Step
from tracegraph.stage.jobs import drain_of, gate_of, source_of
from tracegraph.stage.reading import Mode

FEW = 12  # readings: a handful, not the sheet
PAIR = 2  # devices, up to which each is read both ways round


def cold(facts: Facts, profile: Profile) -> Step:
    """Return what to look at and to measure before any power."""
    return Step(
        "cold",
        "Look, then ohms: board cold",
        cautions=tuple(_cautions(facts)),
        do=tuple(_looks(facts)),
        read=_readings(facts, profile),
        need=("every reading within what is shown, or its reason found",),
        stop=(
            "a rail that reads under 10 Ω and does not climb: find the short first",
            *_dead(facts),
        ),
        unknown=tuple(_unknown(facts)),
    )


def _dead(facts: Facts) -> Iterator[str]:
    refs = [one.device.ref for one in facts.drives]
    if refs:
        verb = "reads" if len(refs) == 1 else "read"
        yield f"{listed(refs)} {verb} under an ohm between two legs, or beeps both ways"


def _cautions(facts: Facts) -> Iterator[str]:
    if facts.stores:
        names = listed([one.name for one in facts.stores])
        yield f"Plug out, {names} measured under {show(METER, 'V')} first."


def _looks(facts: Facts) -> Iterator[str]:
    yield (
        "look for bulged or leaking capacitors, burnt parts, cracked joints, work of "
        "others"
    )
    stage = facts.stage
    fuses = [one.ref for one in stage.parts if one.fitted and one.kind.word == "fuse"]
    if fuses:
        yield f"measure {listed(fuses)}; a blown one tells of a short behind it"
    burnt = [one.ref for one in stage.parts if one.burnt]
    touched = [one.ref for one in stage.parts if one.touched and not one.burnt]
    if burnt:
        yield f"replace what is burnt before any power: {listed(burnt)}"
    if touched:
        yield f"look closely at what somebody resoldered: {listed(touched)}"
    bridges = [f"{one.a} to {one.b}" for one in stage.links if one.form == "bridge"]
    if bridges:
        yield f"take away what joins {listed(bridges)}"
    if stage.breaks:
        yield f"mend the track at {listed([str(one.pin) for one in stage.breaks])}"


def _readings(facts: Facts, profile: Profile) -> tuple[Read, ...]:
    probes = list(dict.fromkeys(_probes(facts)))[:FEW]
    return tuple(_read(one) for one in expect(facts.stage, probes, profile))


def _probes(facts: Facts) -> Iterator[Probe]:
    for rail in facts.stage.rails:
        if rail.over:
            yield Probe(rail.net, rail.over, Mode.OHMS)
    told = {frozenset((rail.net, rail.over)) for rail in facts.stage.rails}
    for link in facts.stores:
        if link.minus and frozenset((link.plus, link.minus)) not in told:
            yield Probe(link.plus, link.minus, Mode.OHMS)
    for drive in facts.drives:
        gate, foot, head = (of(drive.device) for of in (gate_of, source_of, drain_of))
        if gate and foot:
            yield Probe(gate, foot, Mode.OHMS)
        if head and foot:
            yield Probe(foot, head, Mode.DIODE)
            if len(facts.drives) <= PAIR:
                yield Probe(head, foot, Mode.DIODE)


def _read(one: Expected) -> Read:
    why = one.error or (one.uncertain[0] if one.uncertain else one.early)
    return Read(
        one.red, one.black, one.mode.value, _shows(one), one.low, one.high, "", why
    )


def _shows(one: Expected) -> str:
    if one.error:
        return "no answer"
    if one.low is None or one.high is None or len(one.cases) > 1:
        return one.display
    both = f"{show(one.low, one.unit)} to {show(one.high, one.unit)}"
    return f"{one.display} ({both})"


def _unknown(facts: Facts) -> Iterator[str]:
    """Yield what the file leaves open of parts that must be right before power."""
    for part in facts.named():
        value = part.kind.value
        if not (value and part.has(value)) or part.quantity(value).known:
            continue
        near = _at_gate(facts, part.ref)
        usual = (
            f"; between gate and source of {near} 4k7 to 22k are usual (common "
            "practice, no source), and without it the gate floats: not known, the "
            "device stays out"
            if near
            else ": find its value before the step that needs it"
        )
        yield f"{part.ref} has no value{usual}"
    if facts.stage.untraced:
        nets = listed(facts.stage.untraced)
        yield f"{nets} not traced further: more may hang there, so go on in small steps"


def _at_gate(facts: Facts, ref: str) -> str:
    part = facts.stage.part(ref)
    for drive in facts.drives:
        ends = {gate_of(drive.device), source_of(drive.device)}
        if part and set(part.pins.values()) == ends:
            return drive.device.ref
    return ""
