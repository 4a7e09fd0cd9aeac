"""The checkers find what is wrong: each fault is put into a sheet that has none."""

from collections.abc import Callable

import pytest

from tests.draw.geometry import faults
from tests.draw.plain_sheet import plain_drawing, plain_stage
from tests.draw.readback import netlist_faults
from tracegraph.draw.drawing import Drawn, PortForm, Sheet, Wire
from tracegraph.draw.shapes import Text
from tracegraph.views.svg import svg

PLAIN = plain_drawing().sheets[0]


def read_faults(sheet: Sheet) -> list[str]:
    return netlist_faults(plain_stage(), [svg(sheet)])


def part(sheet: Sheet, ref: str) -> Drawn:
    return next(one for one in sheet.parts if one.ref == ref)


def put(sheet: Sheet, part: Drawn) -> Sheet:
    parts = (part if one.ref == part.ref else one for one in sheet.parts)
    return sheet._replace(parts=tuple(parts))


def without_dot(sheet: Sheet) -> Sheet:
    return sheet._replace(wires=(sheet.wires[0]._replace(dots=()),))


def pins_swapped(sheet: Sheet) -> Sheet:
    one, two = part(sheet, "R1").legs
    legs = (one._replace(pin="2"), two._replace(pin="1"))
    return put(sheet, part(sheet, "R1")._replace(legs=legs))


def wire_cut(sheet: Sheet) -> Sheet:
    wire = sheet.wires[0]
    shorter = wire.segments[0], ((6, 12), (13, 12))
    return sheet._replace(wires=(wire._replace(segments=shorter),))


def rail_renamed(sheet: Sheet) -> Sheet:
    rail, ground = sheet.ports
    return sheet._replace(ports=(rail._replace(net="COM"), ground))


def ground_lost(sheet: Sheet) -> Sheet:
    loose = sheet.ports[1]._replace(form=PortForm.UNTRACED)
    far = put(sheet, part(sheet, "J1")._replace(legs=()))
    return far._replace(ports=(sheet.ports[0], loose))


def part_lost(sheet: Sheet) -> Sheet:
    return sheet._replace(parts=sheet.parts[1:])


JOINTS: dict[str, Callable[[Sheet], Sheet]] = {
    "net MID is drawn in": without_dot,
    "net COM is joined to ['P12']": rail_renamed,
    "net MID is joined to ['P12']": pins_swapped,
    "J1.1": wire_cut,
    "J1.1 is not drawn": ground_lost,
    "R1.1 is not drawn": part_lost,
}


def test_the_plain_sheet_is_without_fault() -> None:
    assert read_faults(PLAIN) == []
    assert faults(PLAIN) == []


@pytest.mark.parametrize("told", JOINTS)
def test_a_wrong_joint_is_found(told: str) -> None:
    found = read_faults(JOINTS[told](PLAIN))
    assert any(told in fault for fault in found), found


def test_a_part_drawn_twice_is_found() -> None:
    with pytest.raises(AssertionError, match="drawn twice"):
        read_faults(PLAIN._replace(parts=(*PLAIN.parts, PLAIN.parts[0])))


def label_moved(sheet: Sheet, x: float, y: float) -> Sheet:
    (label,) = sheet.labels
    text = label.text._replace(at=(x, y))
    box = label.box.moved((x - label.text.at[0], y - label.text.at[1]))
    return sheet._replace(labels=(label._replace(text=text, box=box),))


def with_wire(
    sheet: Sheet, *segments: tuple[tuple[int, int], tuple[int, int]]
) -> Sheet:
    return sheet._replace(wires=(*sheet.wires, Wire("OTHER", segments, ())))


def longer(sheet: Sheet) -> Sheet:
    (label,) = sheet.labels
    text = label.text._replace(text="M" * 20)
    return sheet._replace(labels=(label._replace(text=text),))


SIGHTS: dict[str, Sheet] = {
    "text over text": label_moved(PLAIN, 7, 7.5),
    "text over wire": label_moved(PLAIN, 8, 12),
    "text over body": label_moved(PLAIN, 16, 12),
    "text over stroke": label_moved(PLAIN, 5, 16.5),
    "text out of box": longer(PLAIN),
    "wire through body": with_wire(PLAIN, ((3, 8), (9, 8))),
    "wire on lead": with_wire(PLAIN, ((6, 9), (6, 10))),
    "wire on wire": with_wire(PLAIN, ((8, 12), (10, 12))),
    "end on foreign wire": with_wire(PLAIN, ((8, 12), (8, 15))),
    "on foreign wire: R2.1": with_wire(PLAIN, ((4, 13), (8, 13))),
    "on foreign wire: dot": with_wire(PLAIN, ((6, 12), (6, 12))),
    "wire of no length": with_wire(PLAIN, ((1, 3), (1, 3))),
    "off the paper": PLAIN._replace(width=17),
    "body over body": put(
        PLAIN, part(PLAIN, "J1")._replace(body=part(PLAIN, "R1").body)
    ),
    "lead over body": put(
        PLAIN, part(PLAIN, "J1")._replace(body=part(PLAIN, "R2").body.moved((0, -2)))
    ),
    "two nets at one point": put(
        PLAIN, part(PLAIN, "R2")._replace(nets=(("1", "MID"), ("2", "P12")))
    ),
    "look alike": PLAIN._replace(
        ports=tuple(one._replace(form=PortForm.RAIL, texts=()) for one in PLAIN.ports)
    ),
}


@pytest.mark.parametrize("kind", SIGHTS)
def test_what_offends_the_eye_is_found(kind: str) -> None:
    found = faults(SIGHTS[kind])
    assert any(fault.startswith(kind) for fault in found), found


def test_wires_may_cross() -> None:
    assert faults(with_wire(PLAIN, ((12, 10), (12, 15)))) == []


def test_a_ghost_does_not_join() -> None:
    ghost = Wire(
        "MID", (((6, 12), (2, 12)), ((2, 12), (2, 17)), ((2, 17), (6, 17))), (), True
    )
    assert read_faults(PLAIN._replace(wires=(*PLAIN.wires, ghost))) == []


def test_the_title_is_looked_at() -> None:
    low = PLAIN._replace(title=Text((5.5, 12), "by hand"))
    assert any(fault.startswith("text over wire") for fault in faults(low))
