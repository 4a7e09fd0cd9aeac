"""Overlays lie over the picture: what is healthy stays exactly where it was."""

from pathlib import Path

import pytest

from tests.draw.geometry import faults
from tests.draw.readback import assert_same_netlist
from tracegraph.draw.draw import draw
from tracegraph.draw.drawing import Drawing
from tracegraph.draw.overlay import (
    Between,
    Ghost,
    Join,
    Mark,
    OnNet,
    OnPart,
    Overlay,
    Role,
)
from tracegraph.notation.source import from_bytes
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part, Pin
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage
from tracegraph.views.svg import svg

EXAMPLES = Path(__file__).parents[2] / "examples"
REFS = ("R21", "R22", "Q21", "R24", "Q22", "D21", "R26", "R27", "Q24")
ROLES = Overlay(
    "a mark of each role",
    tuple(
        Mark(OnPart(ref), role, "12.3 V" if role is Role.LEVEL else "", rank, "why")
        for rank, (role, ref) in enumerate(zip(Role, REFS, strict=True))
    ),
    legend=("what the marks say",),
)
NETS = Overlay(
    "expected, to ground",
    tuple(
        Mark(OnNet(net), Role.READING, "0.67 V")
        for net in ("NB", "PULL", "PB", "DRV", "GD", "GATE", "SRC", "MOT-")
    ),
)
PINS = Overlay(
    "found",
    (
        Mark(Pin("Q24", "g"), Role.BROKEN, "open"),
        Mark(Between(Pin("R26", "2"), Pin("Q24", "g")), Role.BROKEN, more="no beep"),
    ),
)
GHOSTS = Overlay(
    "against the good board",
    ghosts=(
        Ghost(Part("D29", KINDS["zener"], {"a": "COM", "k": "GATE"}), "missing"),
        Ghost(Part("C29", KINDS["capacitor"], {"1": "NB", "2": "COM"})),
        Ghost(Part("R29", KINDS["resistor"], {"1": "PB", "2": "GATE"})),
        Ghost(Part("Q29", KINDS["npn"], {"b": "NB", "c": "DRV", "e": "COM"})),
    ),
)
JOINS = Overlay("bridged", joins=(Join("NB", "PB", text="0.4 Ω"), Join("GATE", "SRC")))
LAYERS = (ROLES, NETS, PINS, GHOSTS, JOINS)
TITLES = [layer.title for layer in LAYERS]


@pytest.fixture(scope="module")
def stage() -> Stage:
    path = EXAMPLES / "treadmill-gate-drive.trace"
    return read(from_bytes(path.name, path.read_bytes()))


def healthy(drawing: Drawing) -> list[object]:
    """Return all that belongs to the section itself, where it stands."""
    return [
        (
            [part for part in sheet.parts if part.status != "ghost"],
            [wire for wire in sheet.wires if not wire.ghost],
            [port for port in sheet.ports if not port.ghost],
            list(sheet.labels),
            list(sheet.frames),
        )
        for sheet in drawing.sheets
    ]


@pytest.mark.parametrize("layer", LAYERS, ids=TITLES)
def test_the_healthy_picture_does_not_move(stage: Stage, layer: Overlay) -> None:
    assert healthy(draw(stage, (layer,))) == healthy(draw(stage))


def test_nor_does_it_under_all_of_them(stage: Stage) -> None:
    assert healthy(draw(stage, LAYERS)) == healthy(draw(stage))


@pytest.mark.parametrize("layers", [(one,) for one in LAYERS] + [LAYERS])
def test_a_drawing_with_overlays_is_true_and_clear(
    stage: Stage, layers: tuple[Overlay, ...]
) -> None:
    sheets = draw(stage, layers).sheets
    assert_same_netlist(stage, [svg(sheet) for sheet in sheets])
    assert [fault for sheet in sheets for fault in faults(sheet)] == []


def test_every_mark_ghost_and_join_is_there(stage: Stage) -> None:
    sheets = draw(stage, LAYERS).sheets
    notes = [note for sheet in sheets for note in sheet.notes]
    shown = [note for note in notes if note.over or note.under or note.texts]
    for number, layer in enumerate(LAYERS):
        own = [note for note in shown if note.layer == number]
        assert {mark.target for mark in layer.marks} <= {note.target for note in own}
        assert len(own) >= len(layer.marks) + len(layer.joins)
    ghosts = {p.ref for sheet in sheets for p in sheet.parts if p.status == "ghost"}
    assert ghosts == {"D29", "C29", "R29", "Q29"}


def test_a_mark_is_told_without_colour(stage: Stage) -> None:
    """Each role has a letter or shape of its own."""
    (sheet,) = draw(stage, (ROLES,)).sheets
    looks = {
        note.role: (tuple(map(repr, map(type, note.over))), note.texts and "text")
        for note in sheet.notes
    }
    assert set(looks) == set(Role)
