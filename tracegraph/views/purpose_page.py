"""What each part is for, on a page."""

from collections.abc import Iterator, Sequence

from tracegraph.listing import listed
from tracegraph.purpose.result import Purpose, Purposes
from tracegraph.views.page import GAP, Line, Page, Tone, caution, title

NOT_KNOWN = "its place does not tell what it is for"
LIMITS = (
    "Edges are solved without the transistors' storage time and the copper's "
    "inductance: go by how many times, not by the nanoseconds."
)
_INDENT = 5
_TWO = 2
_NETS = 4  # that are named in a line


def purpose_page(heading: str, found: Purposes, cautions: Sequence[str] = ()) -> Page:
    """Return what parts are for, as a colleague would tell it.

    Args:
        heading: What the section is called.
        found: What was found.
        cautions: What to heed before probing; none for a harmless section.
    """
    lines = [title(heading or "What each part is for"), *map(caution, cautions)]
    lines.append(Line(_basis(found), Tone.FAINT))
    lines += [Line(f"{one[:1].upper()}{one[1:]}.", Tone.FAINT) for one in found.taken]
    lines += [Line(f"Left out: {one}.", Tone.ASK) for one in found.untold]
    for one in found.parts:
        lines += [GAP, *_part(one)]
    edges = any(
        two.unit == "s" and two.was for one in found.parts for two in one.findings
    )
    return (*lines, *([GAP, Line(LIMITS, Tone.FAINT)] if edges else []))


def _basis(found: Purposes) -> str:
    if not found.scenes:
        return "Told by where each part stands; no state could be worked out."
    return (
        "Told by where each part stands, and by the levels without it and with it "
        f"shorted, worked out {listed(found.scenes)}."
    )


def _part(one: Purpose) -> Iterator[Line]:
    yield Line(f"{one.role or NOT_KNOWN}{_what(one)}", mark=f"{one.ref}  ")
    if one.untold and one.absent:
        yield Line(f"{one.untold[:1].upper()}{one.untold[1:]}.", indent=_INDENT)
    for said in (one.without, one.shorted):
        if said:
            yield Line(said, indent=_INDENT)


def _what(one: Purpose) -> str:
    """Return what kind of part it is and where, after its role."""
    kind = "" if one.title == one.role else one.title
    value = " ".join(word for word in (kind, one.value) if word)
    nets = one.nets[:_NETS]
    if len(one.nets) == _TWO:
        on = f"between {nets[0]} and {nets[1]}"
    else:
        on = f"on {', '.join(nets)}{' and more' if one.nets[_NETS:] else ''}"
    said = " ".join(word for word in (value, on if nets else "") if word)
    return f": {said}." if said else "."
