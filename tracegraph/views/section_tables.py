"""The parts and the nets of a section as tables."""

from collections.abc import Iterator

from tracegraph.stage.kind import Form
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.part import Part, Pin, Status
from tracegraph.stage.stage import Stage
from tracegraph.views.amounts import amount, assumed, value_of
from tracegraph.views.page import Table


def part_table(stage: Stage) -> tuple[Table, ...]:
    """Return parts as a table, those of one kind together, kinds in file order."""
    kinds = list(dict.fromkeys(part.kind.word for part in stage.parts))
    ordered = sorted(stage.parts, key=lambda part: kinds.index(part.kind.word))
    rows = tuple(_part(part) for part in ordered)
    head = ("part", "kind", "value", "pins", "assumed, found")
    return (Table(head, rows),) if rows else ()


def _part(part: Part) -> tuple[str, ...]:
    remarks = (
        *(one for one in assumed(part) if one),
        *_found(part),
    )
    return (
        part.ref,
        part.kind.title,
        value_of(part),
        _pins(part),
        ", ".join(remarks),
    )


def _pins(part: Part) -> str:
    """Return where a part's pins go, two-terminal parts as they are written."""
    nets = {
        name: "not traced" if name in part.untraced else net
        for name, net in part.pins.items()
    }
    if part.kind.form is not Form.PINS and len(nets) == 2:
        two_way = part.kind.form is Form.TWO_WAY or TWO_WAY in part.variant
        return f" {'--' if two_way or '1' in nets else '->'} ".join(nets.values())
    return " ".join(f"{name}={net}" for name, net in nets.items())


def _found(part: Part) -> Iterator[str]:
    if part.status is not Status.FITTED:
        yield part.status.value
    if part.burnt:
        yield "burnt"
    if part.touched:
        yield "touched"
    if part.marked:
        yield f'marked "{part.marked}"'
    if part.type_number:
        yield part.type_number
    if part.variant:
        yield " ".join(sorted(part.variant))
    if part.note:
        yield part.note


def net_table(stage: Stage) -> tuple[Table, ...]:
    """Return nets as a table: their pins, and what each is."""
    rows = tuple(
        (
            net,
            " ".join(_pin(stage, pin) for pin in pins) or "no pin",
            _roles(stage, net),
        )
        for net, pins in stage.nets.items()
    )
    return (Table(("net", "pins", "what it is"), rows),) if rows else ()


def _pin(stage: Stage, pin: Pin) -> str:
    """Return a pin's name; a part with a single pin needs only its own."""
    part = stage.part(pin.part)
    return pin.part if part and len(part.pins) == 1 else str(pin)


def _roles(stage: Stage, net: str) -> str:
    roles = [
        *("ground" for one in stage.grounds if one.net == net),
        *(f"rail {amount(one.volts)}" for one in stage.rails if one.net == net),
        *("input" for one in stage.inputs if one.net == net),
        *("more may hang here" for one in stage.untraced if one == net),
        *("plug is out" for one in stage.unplugged if one == net),
        *("not traced" for pin in stage.nets[net] if _untraced(stage, pin)),
    ]
    return ", ".join(roles)


def _untraced(stage: Stage, pin: Pin) -> bool:
    part = stage.part(pin.part)
    return part is not None and pin.name in part.untraced
