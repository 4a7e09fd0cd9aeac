"""What may be wrong with the parts of a section, from the registry of kinds."""

from collections.abc import Iterator
from math import inf, isfinite

from tracegraph.diagnose.hypothesis import FACTORS, Hypothesis, Range, between, repin_of
from tracegraph.diagnose.priors import Priors
from tracegraph.diagnose.verdict import Sort
from tracegraph.network.family import Instead
from tracegraph.stage.branch import Conductor, Store
from tracegraph.stage.change import Become, Change, Cut, Permute, Remove, Tie, Vary
from tracegraph.stage.kind import Fault
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.stage import Stage

LEAST_LEAK, MOST_LEAK = 2.0, 1e6  # ohms between which a leak lies, by equal ratios
FURTHEST = 10.0  # how far a drifted resistor goes
LEAST_VARIED = 0.2  # ohms under which a resistor's drift is lost in the leads
OTHER_POLARITY = {"npn": "pnp", "pnp": "npn", "nfet": "pfet", "pfet": "nfet"}


def part_faults(stage: Stage, priors: Priors) -> Iterator[Hypothesis]:
    """Yield every way in which a fitted part may fail, be missing or be the wrong one."""
    for part in stage.parts:
        if part.fitted and part.pinout:
            for fault in part.kind.faults(part):
                chance = priors.fault(part, fault)
                yield from _of_fault(stage, part, fault, chance, priors)
            if part.kind.word in OTHER_POLARITY:
                yield _wrong_polarity(part, priors)


def varied(stage: Stage, ref: str) -> Instead | None:
    """Return a resistor as one whose value may be varied; None if it can't be.

    One conductor of a known value, of more than the leads' resistance.
    """
    part = stage.part(ref)
    ohms = part.quantity("r").typical if part and part.has("r") else None
    if part is None or not ohms or ohms < LEAST_VARIED:
        return None
    branches = part.kind.cold(part)
    if len(branches) != 1 or not isinstance(branches[0], Conductor):
        return None
    return Instead(part.ref, tuple(factor * ohms for factor in FACTORS))


def _of_fault(
    stage: Stage, part: Part, fault: Fault, chance: float, priors: Priors
) -> Iterator[Hypothesis]:
    shell = Hypothesis(
        fault.name,
        fault.words,
        Sort.PART,
        (part.ref,),
        tuple(dict.fromkeys(part.pins.values())),
        chance,
        fault.changes,
        blind=_blind(part, fault.changes),
    )
    change = fault.changes[0] if len(fault.changes) == 1 else None
    resistor = varied(stage, part.ref)
    if isinstance(change, Tie):
        yield from _tied(stage, shell, change)
    elif resistor and isinstance(change, Cut | Remove):
        yield shell._replace(way=resistor, ranges=((Range(inf, inf), 1.0),))
    elif resistor and isinstance(change, Vary) and change.symbol == "r":
        ranges = tuple(_drifts(part, priors))
        yield shell._replace(way=resistor, ranges=ranges)
    elif isinstance(change, Cut):
        changes = (canonical(stage, change),)
        yield shell._replace(changes=changes, way=repin_of(stage, changes))
    elif fault.changes and _fits(part, fault.changes):
        yield shell._replace(way=repin_of(stage, fault.changes))


def _tied(stage: Stage, shell: Hypothesis, tie: Tie) -> Iterator[Hypothesis]:
    """Yield a short or leak between two of the part's nets; none where they are one."""
    a, b = stage.net(tie.a), stage.net(tie.b)
    if a is None or b is None or a == b:
        return
    short = Range(0.0, 0.0)
    leak = Range(LEAST_LEAK, MOST_LEAK)
    span = leak if tie.ohms else short
    yield shell._replace(way=between(a, b), ranges=((span, 1.0),), nets=(a, b))


def _drifts(part: Part, priors: Priors) -> Iterator[tuple[Range, float]]:
    """Yield where a drifted resistor lies: outside its tolerance, up more often."""
    r, up = part.quantity("r"), priors.figure("part.drifts_up")
    typical = r.typical or 0.0
    low, high = (
        end if isfinite(end) and end > 0 else typical for end in (r.low, r.high)
    )
    yield Range(high, FURTHEST * typical), up
    yield Range(typical / FURTHEST, low), 1 - up


def canonical(stage: Stage, cut: Cut) -> Cut:
    """Return the cut that does the same: for a part of two pins at its first one."""
    part = stage.part(cut.pin.part)
    if part and len(part.pins) == 2:
        return Cut(Pin(part.ref, next(iter(part.pins))))
    return cut


def _blind(part: Part, changes: tuple[Change, ...]) -> bool:
    """Return whether only capacitances change: nothing that shows at rest."""
    stores = all(isinstance(one, Store) for one in part.kind.cold(part))
    if stores:
        return all(isinstance(one, Cut | Remove | Vary) for one in changes) or (
            len(part.pins) == 2 and not any(isinstance(one, Tie) for one in changes)
        )
    return all(isinstance(one, Vary) and one.symbol in {"c", "ciss"} for one in changes)


def _fits(part: Part, changes: tuple[Change, ...]) -> bool:
    """Return whether the part has what the changes speak of, and they change something."""
    for change in changes:
        if isinstance(change, Vary):
            if not part.has(change.symbol):
                return False
            if part.quantity(change.symbol).typical is None:
                return False
        if isinstance(change, Permute) and not change.pins.keys() <= part.pins.keys():
            return False
    return True


def _wrong_polarity(part: Part, priors: Priors) -> Hypothesis:
    other = OTHER_POLARITY[part.kind.word]
    chance = priors.figure("board.wrong_polarity") * priors.raise_of(part)
    return Hypothesis(
        f"{other.upper()} fitted",
        f"{part.ref} is {'an NPN' if other == 'npn' else 'a PNP'} type"
        if other in {"npn", "pnp"}
        else f"{part.ref} is {'an N' if other == 'nfet' else 'a P'} channel type",
        Sort.PART,
        (part.ref,),
        tuple(dict.fromkeys(part.pins.values())),
        min(chance, 0.2),
        (Become(part.ref, other),),
    )
