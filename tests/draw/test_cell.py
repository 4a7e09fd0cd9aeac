"""A cell moves as one, and its box holds all of it."""

from hypothesis import given
from hypothesis import strategies as st

from tests.draw.extent import ink
from tests.draw.written import cells
from tracegraph.draw.cell import moved, text_box
from tracegraph.draw.shapes import Anchor, Text

STEP = st.integers(-50, 50)
(STACK,) = cells("R1 1k P12 -- A\nR2 4k7 A -- COM\n")


@given(STEP, STEP)
def test_a_moved_cell_is_the_same_elsewhere(x: int, y: int) -> None:
    there = moved(STACK, (x, y))
    assert _near(there.box, STACK.box.moved((x, y)))
    assert _near(moved(there, (-x, -y)), STACK)
    assert [leg.at for one in there.drawn for leg in one.legs] == [
        (leg.at[0] + x, leg.at[1] + y) for one in STACK.drawn for leg in one.legs
    ]


def _near(one: object, other: object) -> bool:
    """Return whether two things are alike but for the last digits."""
    return _rounded(one) == _rounded(other)


def _rounded(thing: object) -> object:
    if isinstance(thing, tuple):
        return tuple(map(_rounded, thing))
    return round(thing, 9) if isinstance(thing, float | int) else thing


def test_the_box_holds_bodies_texts_pins_and_ports() -> None:
    whole = STACK.box
    parts = [one.body for one in STACK.drawn] + [one.box for one in STACK.ports]
    parts += [text_box(text) for one in STACK.drawn for text in one.texts]
    assert {port.net for port in STACK.ports} == {"P12", "COM"}
    for box in parts:
        assert whole.left <= box.left <= box.right <= whole.right
        assert whole.top <= box.top <= box.bottom <= whole.bottom


def test_the_box_of_a_text_lies_on_the_side_it_is_tied_from() -> None:
    wide = text_box(Text((0, 0), "GATE")).right
    assert text_box(Text((0, 0), "GATE"))[::2] == (0, wide)
    assert text_box(Text((0, 0), "GATE", anchor=Anchor.END))[::2] == (-wide, 0)
    middle = text_box(Text((0, 0), "GATE", anchor=Anchor.MIDDLE))
    assert middle[::2] == (-wide / 2, wide / 2)


def test_the_box_is_as_high_as_the_ink_of_the_font() -> None:
    """Held against the outlines of the shipped font."""
    for word in ("GATE", "PWM_jg,", "Ü10", "4k7 Ω"):
        box = text_box(Text((0, 0), word, 1.0))
        inks = [ink(char, bold=False) for char in word]
        high, deep = max(top for _, top in inks), min(low for low, _ in inks)
        assert box.bottom - box.top >= high - deep - 0.02


def test_a_letter_that_hangs_makes_the_box_deeper() -> None:
    plain, hanging = text_box(Text((0, 0), "SIG")), text_box(Text((0, 0), "Sig"))
    assert hanging.bottom > plain.bottom
