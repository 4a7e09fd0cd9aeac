"""Paths that may be there: untraced nets, and beeps not yet trusted as wires."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.meter.unknowns.unknown import Alternative, Unknown, resistor
from tracegraph.stage.stage import Stage

UNTRACED_OHMS = (100.0, 10e3)  # to open, from an untraced net to ground and rails
BEEP_OHMS = 40.0  # most that a beep may hide with the usual meter
WIRE_OHMS = 1e-3


def untraced(stage: Stage) -> Iterator[Unknown]:
    """Yield nets and pins on which more may hang: 100 ohm to open, to each reference."""
    loose = [p.pins[name] for p in stage.parts for name in p.pins if name in p.untraced]
    for net in dict.fromkeys((*stage.untraced, *loose)):
        if net not in stage.nets:  # nothing of it was written yet
            continue
        ways = [
            (target, ohms)
            for target in stage.references
            if target != net
            for ohms in UNTRACED_OHMS
        ]
        paths = [
            Alternative(
                f"{show(ohms, 'ohm')} to {target}",
                (resistor(f"path {net}-{target} {ohms:.0f}", net, target, ohms),),
                0.4 / len(ways),
            )
            for target, ohms in ways
        ]
        nothing = Alternative("nothing more", (), 0.6)
        ask = f"trace {net} further"
        yield Unknown(f"what else hangs on {net}", (nothing, *paths), ask)


def beeps(stage: Stage) -> Iterator[Unknown]:
    """Yield links that only a beep speaks for: zero ohm up to what the beep allows."""
    for link in stage.links:
        if not link.trusted:
            name = f"beep {link.a}-{link.b}"
            found = tuple(
                Alternative(
                    words, (resistor(f"{name} {words}", link.a, link.b, ohms),), share
                )
                for words, ohms, share in (
                    ("a wire", WIRE_OHMS, 0.7),
                    (show(BEEP_OHMS, "ohm"), BEEP_OHMS, 0.3),
                )
            )
            ask = (
                f"measure {link.a}-{link.b} in ohms; a wire is `link {link.a} {link.b}`"
            )
            yield Unknown(f"the {name}", found, ask)
