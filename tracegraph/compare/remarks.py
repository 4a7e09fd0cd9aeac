"""What is no difference but should be known: misread designators, what is still open."""

from collections.abc import Iterator

from tracegraph.compare.comparison import Difference, DifferenceKind
from tracegraph.compare.likeness import open_values
from tracegraph.compare.match import Match
from tracegraph.compare.wording import called
from tracegraph.stage.part import Part


def remarks(match: Match) -> Iterator[Difference]:
    """Yield misread designators, and parts and pins that can't be compared yet."""
    told = match.ground.same
    for r, fit in sorted(match.fits.items()):
        old = match.ground.reference.pieces[r].part
        new = match.ground.traced.pieces[fit.traced].part
        other = old.ref.lower() != new.ref.lower()
        if match.ground.rules.names and other and r not in told:
            words = f"{new.ref} stands where the reference has {old.ref}: misread?"
            yield _remark(DifferenceKind.MISREAD, old, new, words)
        for words in (*_open_value(old, new), *_open_pins(old, new)):
            yield _remark(DifferenceKind.UNKNOWN, old, new, words)


def _remark(kind: DifferenceKind, old: Part, new: Part, words: str) -> Difference:
    return Difference(kind, (), words, new.ref, old.ref, new.written, old.written)


def _open_value(old: Part, new: Part) -> Iterator[str]:
    there, here = open_values(old, new)
    if here or there:
        where = (
            "on either side"
            if here and there
            else "here"
            if here
            else "in the reference"
        )
        yield f"{called(new, old)}: its value is not known {where}"


def _open_pins(old: Part, new: Part) -> Iterator[str]:
    name = called(new, old)
    for part, where in ((new, "here"), (old, "in the reference")):
        if not part.pinout:
            yield f"{name}: which pin is which is not known {where}"
    if old.kind is not new.kind:
        return
    for one, other, where in ((old, new, "here"), (new, old, "in the reference")):
        for pin in one.pins:
            open_here = pin not in other.pins or pin in other.untraced
            if pin not in one.untraced and open_here:
                yield f"{name}: pin {pin} is not traced {where}"
