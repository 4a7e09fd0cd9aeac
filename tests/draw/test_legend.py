"""Under the picture stands what it shows, and nothing that it doesn't."""

from tests.draw.plain_sheet import plain_drawing
from tracegraph.draw.cell import text_box
from tracegraph.draw.drawing import Drawn, Noted
from tracegraph.draw.legend import WORDS, Legend, legend
from tracegraph.draw.overlay import Ghost, OnPart, Overlay, Role
from tracegraph.draw.shapes import Stroke, Text, Tone
from tracegraph.draw.words import TOUCHED
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part

(PLAIN,) = plain_drawing().sheets
PAPER = (60.0, 20.0)
DOT = (Stroke(((0, 0), (1, 0))),)


def note(role: Role, layer: int = 0) -> Noted:
    return Noted(role, OnPart("R1"), (), DOT, (), layer=layer)


def under(
    *overlays: Overlay,
    notes: tuple[Noted, ...] = (),
    heed: tuple[str, ...] = (),
    drawn: tuple[Drawn, ...] = PLAIN.parts,
    paper: tuple[float, float] = PAPER,
) -> Legend:
    return legend(heed, overlays, notes, drawn, paper)


def lines(found: Legend) -> str:
    return " | ".join(one.text for one in found.shapes if isinstance(one, Text))


def roles(found: Legend) -> set[Role]:
    told = lines(found)
    return {role for role, words in WORDS.items() if words in told}


def test_only_the_roles_that_are_shown_are_explained() -> None:
    layer = Overlay("compared")
    assert roles(under(layer)) == set()
    both = (note(Role.EXTRA), note(Role.DIFFERS))
    assert roles(under(layer, notes=both)) == {Role.EXTRA, Role.DIFFERS}


def test_a_role_is_explained_at_its_own_layer_only() -> None:
    layers = Overlay("first"), Overlay("second")
    told = lines(under(*layers, notes=(note(Role.BROKEN, layer=1),)))
    assert told.index("first") < told.index("second") < told.index(WORDS[Role.BROKEN])


def test_a_mark_that_is_a_text_only_needs_no_badge() -> None:
    plain = note(Role.READING)._replace(over=(), texts=(Text((0, 0), "0.6 V"),))
    assert roles(under(Overlay("expected"), notes=(plain,))) == set()


def test_a_missing_part_on_the_sheet_is_explained() -> None:
    ghost = Ghost(Part("R9", KINDS["resistor"], {"1": "A", "2": "B"}))
    layer = Overlay("against the other", ghosts=(ghost,))
    assert roles(under(layer)) == set()
    here = (PLAIN.parts[0]._replace(status="ghost"),)
    assert roles(under(layer, drawn=here)) == {Role.ABSENT}


def test_what_to_heed_stands_first_in_full_ink() -> None:
    found = under(Overlay("layer"), heed=("rectified mains: unplug, measure",))
    first = found.shapes[0]
    assert isinstance(first, Text)
    assert "rectified mains" in first.text
    assert first.tone is Tone.INK


def test_the_sign_of_a_resoldered_part_is_told_where_there_is_one() -> None:
    assert lines(under()) == ""
    one = PLAIN.parts[0]
    touched = one._replace(texts=(Text((0, 0), f"R1 {TOUCHED}"),))
    assert lines(under(drawn=(touched,))).startswith(TOUCHED)


def test_long_lines_are_broken_and_stay_on_the_paper() -> None:
    words = "measured with the motor unplugged and the bulk capacitor discharged " * 3
    found = under(Overlay("layer", legend=(words,)), paper=(40.0, 20.0))
    texts = [one for one in found.shapes if isinstance(one, Text)]
    assert len(texts) > 4
    assert all(text_box(text).right <= 40 for text in texts)
    assert " ".join(text.text for text in texts).endswith(words.strip())
    heights = [text.at[1] for text in texts]
    assert heights == sorted(set(heights))


def test_it_takes_the_height_that_its_lines_need() -> None:
    found = under(Overlay("layer", legend=("one", "two")))
    texts = [one for one in found.shapes if isinstance(one, Text)]
    assert PAPER[1] <= min(text_box(text).top for text in texts)
    assert max(text_box(text).bottom for text in texts) <= PAPER[1] + found.height + 1
    assert under().height == 0
