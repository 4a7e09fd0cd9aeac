"""Drawings made by hand, so that writers are tested without the layout."""

from tracegraph.draw.drawing import (
    Drawing,
    Drawn,
    Frame,
    NetLabel,
    Noted,
    Port,
    PortForm,
    Sheet,
    Wire,
)
from tracegraph.draw.overlay import OnNet, OnPart, Role
from tracegraph.draw.shapes import (
    Anchor,
    Arc,
    Box,
    Circle,
    Fill,
    Shape,
    Side,
    Stroke,
    Text,
    Tone,
)
from tracegraph.draw.symbol import Leg


def resistor(
    ref: str, value: str, nets: tuple[str, str], status: str = "fitted"
) -> Drawn:
    """Return a resistor lying from (6, 8) to (10, 8)."""
    tone = Tone.INK if status == "fitted" else Tone.ABSENT
    body = ((7, 7.5), (9, 7.5), (9, 8.5), (7, 8.5))
    return Drawn(
        ref,
        "resistor",
        f"{ref}: resistor {value}",
        (("1", nets[0]), ("2", nets[1])),
        (Leg("1", (6, 8), Side.LEFT), Leg("2", (10, 8), Side.RIGHT)),
        (
            Stroke(((6, 8), (7, 8)), tone=tone),
            Stroke(((9, 8), (10, 8)), tone=tone),
            Stroke(
                body, closed=True, fill=Fill.PAPER, tone=tone, dashed=tone != Tone.INK
            ),
        ),
        (
            Text((8, 5.4), ref, bold=True, anchor=Anchor.MIDDLE),
            Text((8, 6.8), value, anchor=Anchor.MIDDLE, tone=Tone.FAINT),
        ),
        Box(6.8, 7.3, 9.2, 8.7),
        status,
    )


def lamp() -> Drawn:
    """Return a round part between (14, 8) and the ground below it."""
    return Drawn(
        "H1",
        "lamp",
        "H1: lamp",
        (("1", "GATE"), ("2", "COM")),
        (Leg("1", (14, 8), Side.UP), Leg("2", (14, 12), Side.DOWN)),
        (
            Stroke(((14, 8), (14, 9))),
            Circle((14, 10), 1),
            Arc((13.3, 10), (14.7, 10), 0.7),
            Stroke(((14, 11), (14, 12))),
        ),
        (Text((15.4, 10), "H1", bold=True),),
        Box(13, 9, 15, 11),
        channel="U",
    )


def ground(net: str, x: int, y: int) -> Port:
    """Return a ground symbol."""
    bars: tuple[Shape, ...] = tuple(
        Stroke(((x - w, y + d), (x + w, y + d)), 0.2)
        for w, d in ((1, 0.8), (0.6, 1.2), (0.2, 1.6))
    )
    down = Stroke(((x, y), (x, y + 0.8)))
    box = Box(x - 1, y, x + 1, y + 1.7)
    return Port(net, PortForm.GROUND, (x, y), (down, *bars), (), f"{net}: ground", box)


def flag(net: str, shown: str) -> Port:
    """Return an input flag ending at (3, 8)."""
    outline = ((0.5, 7.2), (2.4, 7.2), (3, 8), (2.4, 8.8), (0.5, 8.8))
    words = Text((0.7, 8), shown, 0.7, bold=True, full=net if net != shown else "")
    shape = Stroke(outline, closed=True, fill=Fill.PAPER)
    box = Box(0.5, 7.2, 3, 8.8)
    return Port(net, PortForm.INPUT, (3, 8), (shape,), (words,), f"{net}: input", box)


def small() -> Sheet:
    """Return a resistor from an input to a lamp, marked and framed."""
    halo = Stroke(((10, 8), (18, 8)), 1.0, tone=Tone.LEVEL)
    box = ((6.5, 7), (9.5, 7), (9.5, 9), (6.5, 9))
    tint = Stroke(box, closed=True, fill=Fill.INK, tone=Tone.SUSPECT)
    badge = Circle((6.2, 9.4), 0.8, fill=Fill.PAPER, tone=Tone.SUSPECT)
    letter = Text((6.2, 9.4), "S1", 0.8, True, Anchor.MIDDLE, Tone.SUSPECT)
    level = Text((15, 6.6), "0.68 V", anchor=Anchor.START, tone=Tone.LEVEL)
    wires = (
        Wire("PWM", (((3, 8), (6, 8)),), ()),
        Wire("GATE", (((10, 8), (14, 8)), ((14, 8), (18, 8))), ((14, 8),)),
        Wire("GATE", (((18, 8), (18, 10)),), (), ghost=True),
    )
    frame = Frame("U", Box(12.5, 5, 19, 14), Text((12.8, 5.8), "U", tone=Tone.FAINT))
    return Sheet(
        1,
        Text((1, 2), "A small drive", 1.6, bold=True),
        22,
        18,
        (resistor("R1", "10k", ("PWM", "GATE")), lamp()),
        wires,
        (flag("PWM", "PWM"), ground("COM", 14, 12)),
        (NetLabel("GATE", Text((10.4, 7.2), "GATE", 0.9), Box(10.4, 6.7, 13, 7.7)),),
        (frame,),
        (
            Noted(Role.SUSPECT, OnPart("R1"), (tint,), (badge,), (letter,), "first"),
            Noted(Role.LEVEL, OnNet("GATE"), (halo,), (), (level,), "should be 5 V"),
        ),
        (
            Circle((1.5, 16.5), 0.6, tone=Tone.SUSPECT),
            Text((2.6, 16.5), "suspect, the first first", 0.9, tone=Tone.FAINT),
        ),
    )


def named(ref: str, net: str) -> Sheet:
    """Return a sheet whose part, net and texts bear any names."""
    sheet = small()
    part = resistor(ref, net[:12], (net, net))
    return sheet._replace(
        title=Text((1, 2), ref[:20], 1.6, full=ref),
        parts=(part._replace(title=f"{ref}: {net}", channel=net),),
        wires=(Wire(net, (((3, 8), (6, 8)),), ((3, 8),)),),
        ports=(flag(net, net[:3]),),
        labels=(NetLabel(net, Text((4, 7), net[:8]), Box(4, 6, 6, 8)),),
        frames=(Frame(net, Box(1, 5, 19, 14), Text((2, 5.8), net[:8])),),
        notes=(Noted(Role.NOTE, OnNet(net), (), (Circle((5, 5), 1),), (), ref),),
    )


def two_sheets() -> Drawing:
    """Return the small sheet, and a second one with the same names on it."""
    return Drawing("two", (small(), small()._replace(number=2, height=20)))
