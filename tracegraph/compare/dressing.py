"""A usual stage under the names and values of the section that it was found in.

What is left of it then differs in structure alone, and can be compared like any other
known-good section.
"""

from collections.abc import Mapping
from dataclasses import replace

from tracegraph.compare.fitting import Fit
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

FIRST_FREE = 901  # designators of parts that the section does not have


def dressed(pattern: Stage, section: Stage, fit: Fit) -> tuple[Stage, Stage]:
    """Return the part of the section that a pattern was found in, and the pattern.

    Both carry the section's names and what it declares; what is beyond the section is
    left out of the pattern.
    """
    own = set(fit.parts.values())
    kept = tuple(part for part in section.parts if part.ref in own)
    part_of = replace(
        section, parts=kept, log=(), states=(), channels=(), notes=(), problems=()
    )
    names = names_of(pattern, section, fit)
    parts = [
        _dressed(part, names, fit, section)
        for part in pattern.parts
        if part.ref in fit.parts or (part.ref in fit.missing and _spans(part, names))
    ]
    return part_of, replace(part_of, title=pattern.title, parts=tuple(parts))


def names_of(pattern: Stage, section: Stage, fit: Fit) -> Mapping[str, str]:
    """Return what a pattern's parts and nets are called in the section.

    A part that the section lacks is called by a free designator.
    """
    taken = {part.ref.lower() for part in section.parts}
    names = {**fit.nets, **fit.parts}
    for ref in fit.missing:
        names[ref] = _free(ref, taken)
        taken.add(names[ref].lower())
    return names


def _spans(part: Part, names: Mapping[str, str]) -> bool:
    """Return whether a missing part would stand between two nets."""
    return len({names.get(net, net) for net in part.pins.values()}) > 1


def _free(ref: str, taken: set[str]) -> str:
    if ref.lower() not in taken:
        return ref
    letters = ref.split(".", 1)[0].rstrip("0123456789")
    number = FIRST_FREE
    while f"{letters}{number}".lower() in taken:
        number += 1
    return f"{letters}{number}"


def _dressed(part: Part, names: Mapping[str, str], fit: Fit, section: Stage) -> Part:
    """Return a pattern's part as the section would have it."""
    nets = {pin: names.get(net, net) for pin, net in part.pins.items()}
    found = section.part(fit.parts.get(part.ref, ""))
    if found and part.ref not in fit.otherwise and _stands_so(found, nets):
        return found
    given = found.given if found and found.kind is part.kind else part.given
    renamed = replace(part, ref=names[part.ref], given=given, written=None, placed=None)
    return renamed.with_pins(nets)


def _stands_so(found: Part, nets: Mapping[str, str]) -> bool:
    """Return whether a part stands where the pattern has it, whatever its pins' names."""
    if set(found.pins) == set(nets):
        return dict(found.pins) == dict(nets) or _ends_alike(found, nets)
    return sorted(found.pins.values()) == sorted(nets.values())


def _ends_alike(found: Part, nets: Mapping[str, str]) -> bool:
    alike = set(found.pins) == {"1", "2"}
    return alike and set(found.pins.values()) == set(nets.values())
