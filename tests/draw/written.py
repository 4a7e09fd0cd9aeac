"""Sections written as on the bench, and what the layout makes of them."""

from functools import cache
from pathlib import Path
from types import MappingProxyType

from tracegraph.draw.assemble import cells_of
from tracegraph.draw.cell import Cell
from tracegraph.draw.draw import draw
from tracegraph.draw.drawing import Drawing, Drawn, Sheet
from tracegraph.draw.electric import levels, potentials
from tracegraph.draw.items import Section, items_of
from tracegraph.draw.orient import Standing, standings
from tracegraph.draw.shapes import Grid
from tracegraph.notation.source import from_bytes, from_text
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"
HEAD = "ground COM\nrail P12 12V\n"


def stage_of(lines: str, head: str = HEAD) -> Stage:
    """Return the section of some lines, by default on COM and P12."""
    return read(from_text("bench.trace", head + lines))


def section_of(lines: str, head: str = HEAD) -> Section:
    """Return the same as what is to be drawn."""
    stage = stage_of(lines, head)
    return Section(stage, items_of(stage))


def standing_of(section: Section) -> dict[str, Standing]:
    """Return how every item of a section stands, by designator."""
    ups, steps = potentials(section), levels(section)
    found = standings(section, ups, steps, MappingProxyType({}))
    return {one.item.ref: one for one in found}


def stance(lines: str, ref: str) -> Standing:
    """Return how one part of a few lines stands."""
    return standing_of(section_of(lines))[ref]


def cells(lines: str, head: str = HEAD) -> list[Cell]:
    """Return the cells of some lines."""
    section = section_of(lines, head)
    return list(cells_of(section, list(standing_of(section).values())))


def sheet_of(lines: str, head: str = HEAD) -> Sheet:
    """Return some lines drawn on one sheet."""
    (sheet,) = draw(stage_of(lines, head)).sheets
    return sheet


def part_of(sheet: Sheet, ref: str) -> Drawn:
    """Return a part of a sheet."""
    return next(one for one in sheet.parts if one.ref == ref)


def pin_at(one: Drawn, pin: str) -> Grid:
    """Return where a pin of a part is."""
    return next(leg.at for leg in one.legs if leg.pin == pin)


@cache
def example(name: str) -> Stage:
    """Return one of the example sections."""
    path = EXAMPLES / f"{name}.trace"
    return read(from_bytes(path.name, path.read_bytes()))


@cache
def example_drawing(name: str) -> Drawing:
    """Return one of them drawn, once for all tests."""
    return draw(example(name))
