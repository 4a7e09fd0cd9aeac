"""What can't be as it is written of a link: volts, ratings, values off by a thousand."""

from collections.abc import Iterator

from tracegraph.display import show, written
from tracegraph.powerup.link.places import rated_volts
from tracegraph.powerup.link.record import Boost, Link
from tracegraph.quantity import Quantity
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

_FACTORS = (1e3, 1e-3, 1e6)


def doubts(stage: Stage, link: Link) -> Iterator[str]:
    """Yield every doubt about a link, each with what was probably meant."""
    if not link.volts.known and not link.mains:
        where = f"what {link.plus} stands at is not written"
        yield f"{where}: give it as `rail {link.plus} 325V`, or as far as its parts allow"
    if not link.capacitors:
        yield (
            f"no capacitor of {link.plus} is in the file: what keeps its charge is "
            "not traced"
        )
    for part in filter(None, map(stage.part, link.capacitors)):
        yield from _capacitor(part, link)
    if link.boost:
        yield from _boost(stage, link.boost, link.volts.typical)


def _capacitor(part: Part, link: Link) -> Iterator[str]:
    farads, rated = part.quantity("c"), rated_volts(part)
    if not farads.known:
        yield f"{part.ref} has no value: its energy and time are not known"
    elif meant := _meant(farads, part.kind.parameters["c"].quantity):
        what = written(farads.typical or 0.0, "F")
        yield f"{part.ref} is written as {what}: {meant} meant?"
    most = link.volts.typical or 0.0
    alone = part.pins and {link.plus, link.minus} == set(part.pins.values())
    if rated and alone and most > rated and not link.mains:
        yield (
            f"{part.ref} is made for {show(rated, 'V')} and {link.plus} stands at "
            f"{show(most, 'V')}: misread?"
        )


def _meant(farads: Quantity, usual: Quantity) -> str:
    """Return a value a thousand off that is usual, where the one written is not."""
    value = farads.typical or 0.0
    if usual.low <= value <= usual.high:
        return ""
    for factor in _FACTORS:
        if usual.low <= value * factor <= usual.high:
            return written(float(f"{value * factor:.6g}"), "F")
    return ""


def _boost(stage: Stage, boost: Boost, most: float | None) -> Iterator[str]:
    switch = stage.part(boost.switch)
    amperes = switch.rated("A") if switch else None
    volts = switch.rated("V") if switch else None
    for one in boost.duties:
        state = f" in {one.state}" if one.state else ""
        if amperes and one.ripple and one.ripple > amperes.high:
            ripple = show(one.ripple, "A")
            yield (
                f"{boost.coil} would ripple by {ripple}{state}, more than "
                f"{boost.switch} is made for: is its value, or the frequency, a "
                "thousand off?"
            )
            break
    if volts and most and most > volts.high:
        yield (
            f"{boost.switch} is made for {show(volts.high, 'V')}, and the link "
            f"stands at {show(most, 'V')}: misread?"
        )
