"""Parts are drawn, and links, bridges and rests beside them; nets are sorted."""

from tests.draw.written import section_of, stage_of
from tracegraph.draw.items import Item, items_of

FOUND = """\
R1 1k A -- B
R2 absent 1k A -- COM
link A C
link B C ?
bridge A B 12R
rest P12 -- COM 1k8
rest A -- COM 470u
rest C -- COM none
"""


def item(ref: str, lines: str = FOUND) -> Item:
    return next(one for one in items_of(stage_of(lines)) if one.ref == ref)


def test_all_that_was_found_is_drawn_in_its_order() -> None:
    told = [(one.ref, one.status) for one in items_of(stage_of(FOUND))]
    assert told == [
        ("R1", "fitted"),
        ("R2", "absent"),
        ("link 1", "link"),
        ("link ? 2", "link"),
        ("bridge 3", "bridge"),
        ("rest 1", "rest"),
        ("rest 2", "rest"),
    ]


def test_a_rest_looks_like_what_was_measured() -> None:
    ohms, farads = item("rest 1").part, item("rest 2").part
    assert (ohms.kind.word, ohms.given["r"].typical) == ("resistor", 1800)
    assert (farads.kind.word, farads.given["c"].typical) == ("capacitor", 470e-6)


def test_only_a_link_without_a_track_has_a_note() -> None:
    assert item("link 1").part.note == ""
    assert item("link ? 2").part.note == "beeps, but no track is seen"


def test_rails_and_grounds_are_hubs_and_have_no_pins() -> None:
    section = section_of("R1 1k P12 -- A\nR2 1k A -- COM\n")
    assert section.hubs == {"P12", "COM"}
    assert [(one.ref, pin) for one, pin in section.pins["A"]] == [
        ("R1", "2"),
        ("R2", "1"),
    ]
    assert set(section.pins) == {"A"}


def test_a_net_joined_by_name_becomes_a_hub() -> None:
    section = section_of("R1 1k P12 -- A\nR2 1k A -- B\n").joining(frozenset(("A",)))
    assert section.hubs == {"P12", "COM", "A"}
    assert section.joining(frozenset(("B",))).by_name == {"A", "B"}


def test_inputs_and_open_nets_end_and_have_a_flag_where_two_pins_are() -> None:
    section = section_of(
        "input IN 0V / 5V\nR1 1k IN -- A\nR2 1k A -- B\nR3 1k A -- B\nnot traced B\n"
    )
    assert section.ended == {"IN", "B"}
    assert section.flagged == {"B"}
    assert section.open_nets == {"B": "untraced"}


def test_a_net_named_by_a_pin_only_has_no_name_that_somebody_wrote() -> None:
    section = section_of("R1 1k P12 -- Q1.b\nQ1 npn b=Q1.b c=OUT e=COM\n")
    assert section.named == {"OUT"}
    assert len(section.pins) == 2
