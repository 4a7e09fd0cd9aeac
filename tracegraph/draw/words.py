"""What is written beside a symbol: designator, value, findings."""

from tracegraph.display import written
from tracegraph.draw.items import Item
from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.part import Part, Status

UNNAMED = {"link", "bridge", "rest"}
TOUCHED = "◇"
"""What stands at a part that somebody has resoldered."""

RATING_UNITS = ("V", "A", "W")


def designator(item: Item) -> str:
    """Return what stands in bold: the designator, and how the part was found.

    >>> from tracegraph.stage.kinds import KINDS
    >>> designator(Item(Part("R7", KINDS["resistor"], {}, touched=True)))
    'R7 ◇'
    """
    if item.status in UNNAMED:
        return _beside(item)
    part = item.part
    found = (
        f" {TOUCHED}" if part.touched else "",
        " burnt" if part.burnt else "",
        " out" if part.status is Status.REMOVED else "",
        " empty" if part.status is Status.ABSENT else "",
    )
    return part.ref + "".join(found)


def _beside(item: Item) -> str:
    """Return the word for what is no part: a link, a bridge found, the rest."""
    if item.status == "link":
        return "link ?" if item.part.note else "link"
    return "rest of board" if item.status == "rest" else "bridge found"


def value(part: Part) -> str:
    """Return what stands under the designator: value, type or rating.

    >>> from tracegraph.quantity import exact
    >>> from tracegraph.stage.kinds import KINDS
    >>> value(Part("R7", KINDS["resistor"], {}, given={"r": exact(4700, "ohm")}))
    '4k7'
    """
    own = part.given.get(part.kind.value)
    ratings = [_rating(part, unit) for unit in RATING_UNITS]
    rated = "/".join(one for one in ratings if one)
    if own is not None:
        volts = rated if part.kind.value == "c" and rated else ""
        return "/".join(one for one in (_amount(own), volts) if one)
    if part.kind.value and not part.type_number:
        usual = part.kind.parameters[part.kind.value]
        missing = not usual.optional and not usual.quantity.known
        return " ".join(one for one in ("?" if missing else "", rated) if one)
    return part.type_number or rated


def _amount(quantity: Quantity) -> str:
    if quantity.typical is None:
        return "?"
    about = "~" if quantity.origin is Origin.USUAL else ""
    return about + written(quantity.typical, quantity.unit)


def _rating(part: Part, unit: str) -> str:
    told = part.rated(unit)
    return _amount(told) if told else ""


def in_words(item: Item) -> str:
    """Return what is told of an item when it is pointed at."""
    part = item.part
    named = part.kind.title if item.status not in UNNAMED else _beside(item)
    marked = f'marked "{part.marked}"' if part.marked else ""
    found = [
        part.status.value if part.status is not Status.FITTED else "",
        "burnt" if part.burnt else "",
        "touched: resoldered by somebody" if part.touched else "",
        "" if part.pinout else "pinout not known",
        marked,
        part.note,
    ]
    told = ", ".join(one for one in (named, value(part), *found) if one)
    return f"{part.ref}: {told}" if item.status not in UNNAMED else told
