"""A sheet drawn by hand: R1 from P12 to MID, R2 from MID to COM, MID on to J1."""

from tracegraph.draw.drawing import (
    Drawing,
    Drawn,
    NetLabel,
    Port,
    PortForm,
    Sheet,
    Wire,
)
from tracegraph.draw.shapes import Box, Grid, Side, Stroke, Text
from tracegraph.draw.symbol import Leg
from tracegraph.notation.source import from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

SECTION = """\
ground COM
rail P12 12V
R1 10k P12 -- MID
R2 10k MID -- COM
J1 connector 1=MID
"""


def plain_stage() -> Stage:
    """Return the section that the sheet shows."""
    return read(from_text("plain.trace", SECTION))


def plain_drawing() -> Drawing:
    """Return the drawing; R1 over R2, a dot between them, J1 to the right."""
    wires = (Wire("MID", (((6, 10), (6, 13)), ((6, 12), (14, 12))), ((6, 12),)),)
    parts = (
        _upright("R1", (6, 6), ("P12", "MID")),
        _upright("R2", (6, 13), ("MID", "COM")),
        _connector(),
    )
    ports = (
        _port("P12", PortForm.RAIL, (6, 6), -1),
        _port("COM", PortForm.GROUND, (6, 17), 1),
    )
    label = Text((8, 11.2), "MID", 0.9)
    labels = (NetLabel("MID", label, Box(8, 10.8, 11, 11.6)),)
    sheet = Sheet(1, Text((1, 1), "by hand"), 22, 22, parts, wires, ports, labels)
    return Drawing("by hand", (sheet,))


def _upright(ref: str, at: Grid, nets: tuple[str, str]) -> Drawn:
    x, y = at
    outline = ((x - 0.5, y + 1), (x + 0.5, y + 1), (x + 0.5, y + 3), (x - 0.5, y + 3))
    return Drawn(
        ref,
        "resistor",
        ref,
        (("1", nets[0]), ("2", nets[1])),
        (Leg("1", at, Side.UP), Leg("2", (x, y + 4), Side.DOWN)),
        (
            Stroke(((x, y), (x, y + 1))),
            Stroke(outline, closed=True),
            Stroke(((x, y + 3), (x, y + 4))),
        ),
        (Text((x + 1, y + 1.5), ref, bold=True), Text((x + 1, y + 2.7), "10k")),
        Box(x - 0.5, y + 1, x + 0.5, y + 3),
    )


def _connector() -> Drawn:
    body = Box(15, 11, 18, 13)
    corners = ((15, 11), (18, 11), (18, 13), (15, 13))
    return Drawn(
        "J1",
        "connector",
        "J1",
        (("1", "MID"),),
        (Leg("1", (14, 12), Side.LEFT),),
        (Stroke(corners, closed=True), Stroke(((14, 12), (15, 12)))),
        (Text((15.5, 10), "J1"),),
        body,
    )


def _port(net: str, form: PortForm, at: Grid, up: int) -> Port:
    x, y = at
    bar = Stroke(((x - 1, y + 0.5 * up), (x + 1, y + 0.5 * up)))
    name = Text((x - 1, y + 1.2 * up), net)
    top, bottom = sorted((y, y + 1.8 * up))
    return Port(net, form, at, (bar,), (name,), net, Box(x - 1.2, top, x + 3, bottom))
