"""A missing part is dashed, hollow and pale; its legs stay."""

from tests.draw.extent import shape_box
from tests.draw.symbols.samples import of_every_sample
from tests.stage.kinds.made import made
from tracegraph.draw.shapes import Arc, Circle, Fill, Shape, Stroke, Text, Tone
from tracegraph.draw.symbols import symbol_of
from tracegraph.draw.symbols.dress import dressed
from tracegraph.stage.part import Part


def is_head(shape: Shape) -> bool:
    """Return whether a shape is an arrow's head or a spot, hollow now."""
    if isinstance(shape, Text | Arc) or shape.fill is not Fill.PAPER:
        return False
    left, top, right, bottom = shape_box(shape)
    return max(right - left, bottom - top) < 1.0


@of_every_sample
def test_a_missing_part_is_dashed_all_over_and_hollow(part: Part) -> None:
    plain = symbol_of(part)
    missing = dressed(plain, Tone.ABSENT, dashed=True)
    assert (missing.legs, missing.body, missing.room) == plain[1:]
    for shape in missing.shapes:
        assert shape.tone is Tone.ABSENT
        assert isinstance(shape, Text) or shape.dashed or is_head(shape)
        assert isinstance(shape, Text | Arc) or shape.fill is not Fill.INK


def test_a_suspect_keeps_its_fills() -> None:
    red = dressed(symbol_of(made("diode")), Tone.SUSPECT)
    assert {shape.tone for shape in red.shapes} == {Tone.SUSPECT}
    closed = [s for s in red.shapes if isinstance(s, Stroke | Circle)]
    assert Fill.INK in {shape.fill for shape in closed}


def test_a_dashed_part_may_keep_its_tone() -> None:
    plain = symbol_of(made("bridgedriver"))
    dashed = dressed(plain, dashed=True)
    assert [s.tone for s in dashed.shapes] == [s.tone for s in plain.shapes]
