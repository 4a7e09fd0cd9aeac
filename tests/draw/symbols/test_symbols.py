"""What holds for the symbol of every kind: its legs, its leads, its box, its meaning."""

from itertools import combinations

import pytest

from tests.draw.extent import shape_box
from tests.draw.symbols.samples import forms, of_every_sample
from tests.every import of_every
from tests.stage.kinds.made import made
from tracegraph.draw.shapes import Box, Pose, Shape, Side, Stroke
from tracegraph.draw.symbol import Leg, Symbol, stand
from tracegraph.draw.symbols import SYMBOLS, symbol_of
from tracegraph.quantity import exact
from tracegraph.stage.kind import Form
from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part

POSES = [Pose(turns, mirrored) for turns in range(4) for mirrored in (False, True)]
PEN = 0.26  # half of the widest line, and the overhang of a letter


def stretch(shape: Shape, end: tuple[float, float]) -> tuple[float, float] | None:
    """Return the way that a stroke goes from one of its ends, or None."""
    if not isinstance(shape, Stroke) or shape.closed:
        return None
    for first, second in (shape.points[:2], shape.points[:-3:-1]):
        if first == end:
            return second[0] - first[0], second[1] - first[1]
    return None


def lead_of(symbol: Symbol, leg: Leg) -> tuple[float, float]:
    """Return the way that a leg's lead goes from it; there is just one lead."""
    ways = [stretch(shape, leg.at) for shape in symbol.shapes]
    (found,) = (way for way in ways if way)
    return found


def inside(box: Box, outer: Box) -> bool:
    return (
        box.left >= outer.left
        and box.top >= outer.top
        and box.right <= outer.right
        and box.bottom <= outer.bottom
    )


def faces(way: tuple[float, float], side: Side) -> bool:
    """Return whether a lead goes away from where a wire leaves."""
    dx, dy = side.opposite.step
    along, across = way[0] * dx + way[1] * dy, way[0] * dy - way[1] * dx
    return along > 0 and across == pytest.approx(0)


@of_every(KINDS)
def test_a_kind_names_a_symbol_that_is_there(word: str) -> None:
    assert KINDS[word].symbol in SYMBOLS


def test_no_symbol_is_left_over() -> None:
    assert {kind.symbol for kind in KINDS.values()} == set(SYMBOLS)


@of_every(SYMBOLS)
def test_a_symbol_says_what_it_means_by_the_standard(symbol: str) -> None:
    told = SYMBOLS[symbol].__doc__ or ""
    assert "IEC 60617" in told or "IEEE 315" in told or "NTC" in told


@of_every(KINDS)
def test_a_kinds_own_pins_find_their_place_without_a_box(word: str) -> None:
    for part in forms(word):
        drawn = SYMBOLS[part.kind.symbol](part)
        assert {leg.pin for leg in drawn.legs} == part.pins.keys()


@of_every_sample
def test_every_wired_pin_has_one_leg(part: Part) -> None:
    legs = symbol_of(part).legs
    assert sorted(leg.pin for leg in legs) == sorted(part.pins)
    assert len({leg.at for leg in legs}) == len(legs)


@of_every_sample
def test_pins_on_one_side_leave_room_for_a_name(part: Part) -> None:
    for one, two in combinations(symbol_of(part).legs, 2):
        if one.side == two.side:
            apart = abs(one.at[0] - two.at[0]), abs(one.at[1] - two.at[1])
            assert max(apart) >= 2


@of_every_sample
def test_a_lead_ends_at_its_leg_in_every_pose(part: Part) -> None:
    symbol = symbol_of(part)
    for pose in POSES:
        standing = stand(symbol, pose, (7, -3))
        for leg in standing.legs:
            assert isinstance(leg.at[0], int)
            assert isinstance(leg.at[1], int)
            assert faces(lead_of(standing, leg), leg.side)


@of_every_sample
def test_a_legs_way_out_is_free(part: Part) -> None:
    symbol = symbol_of(part)
    for leg in symbol.legs:
        (x, y), (dx, dy) = leg.at, leg.side.step
        ahead = Box(x + 0.5 * dx, y + 0.5 * dy, x + 0.5 * dx, y + 0.5 * dy)
        assert not ahead.grown(0.2).meets(symbol.body)


@of_every_sample
def test_all_but_the_leads_lies_in_the_body(part: Part) -> None:
    symbol = symbol_of(part)
    ends = {leg.at for leg in symbol.legs}
    for shape in symbol.shapes:
        if not any(stretch(shape, end) for end in ends):
            assert inside(shape_box(shape), symbol.body.grown(PEN))


@of_every_sample
def test_a_lead_runs_from_the_leg_to_the_body(part: Part) -> None:
    symbol = symbol_of(part)
    for leg in symbol.legs:
        dx, dy = lead_of(symbol, leg)
        end = leg.at[0] + dx, leg.at[1] + dy
        assert Box(*leg.at, *leg.at).grown(2.3).meets(symbol.body.grown(0.01))
        assert inside(Box(*end, *end), symbol.body.grown(PEN))


def test_two_terminals_lie_on_one_line_first_pin_left() -> None:
    for kind in KINDS.values():
        if kind.form is not Form.PINS:
            first, last = symbol_of(made(kind.word)).legs
            one, two = kind.pins
            assert first == Leg(one.name, (0, 0), Side.LEFT)
            assert last == Leg(two.name, (4, 0), Side.RIGHT)


@pytest.mark.parametrize(
    ("word", "control", "upper", "lower"),
    [
        ("npn", "b", "c", "e"),
        ("npn-digital", "b", "c", "e"),
        ("pnp", "b", "e", "c"),
        ("pnp-digital", "b", "e", "c"),
        ("nfet", "g", "d", "s"),
        ("sicfet", "g", "d", "s"),
        ("pfet", "g", "s", "d"),
        ("igbt", "g", "c", "e"),
        ("scr", "g", "a", "k"),
        ("triac", "g", "mt2", "mt1"),
        ("shuntreg", "ref", "k", "a"),
    ],
)
def test_a_switch_has_its_control_left_and_the_higher_pin_up(
    word: str, control: str, upper: str, lower: str
) -> None:
    assert symbol_of(made(word)).legs == (
        Leg(control, (0, 2), Side.LEFT),
        Leg(upper, (3, 0), Side.UP),
        Leg(lower, (3, 4), Side.DOWN),
    )


def test_different_symbols_look_different() -> None:
    """A one-way suppressor is a breakdown diode: its type number tells the rest."""
    pictures = {word: symbol_of(made(word)).shapes for word in KINDS}
    for one, two in combinations(KINDS, 2):
        alike = {KINDS[one].symbol, KINDS[two].symbol}
        if len(alike) == 2 and alike != {"zener", "suppressor"}:
            assert pictures[one] != pictures[two]


@pytest.mark.parametrize(
    ("word", "variant"),
    [
        ("tvs", "two-way"),
        ("igbt", "no diode"),
        ("switch", "closed"),
        ("comparator", "push-pull"),
        ("driver", "inverting"),
        ("winding", "dot 1"),
    ],
)
def test_a_variant_that_works_otherwise_looks_otherwise(
    word: str, variant: str
) -> None:
    assert symbol_of(made(word, variant)).shapes != symbol_of(made(word)).shapes


def test_the_dot_of_a_winding_stands_at_its_start() -> None:
    start, end = (symbol_of(made("winding", f"dot {pin}")).shapes for pin in "12")
    (left,) = set(start) - set(symbol_of(made("winding")).shapes)
    (right,) = set(end) - set(symbol_of(made("winding")).shapes)
    assert shape_box(left).right < 1
    assert shape_box(right).left > 3


def test_resistors_built_in_are_seen() -> None:
    plain = len(symbol_of(made("npn")).shapes)
    ohms = exact(1e4, "ohm")
    for part in (made("npn", r1=ohms), made("npn", r2=ohms)):
        assert len(symbol_of(part).shapes) > plain


def test_a_pin_that_is_not_wired_has_no_lead() -> None:
    whole = symbol_of(made("npn"))
    lacking = symbol_of(made("npn", pins=("b", "c")))
    assert len(lacking.shapes) == len(whole.shapes) - 1
    assert {leg.pin for leg in lacking.legs} == {"b", "c"}


def test_a_relays_contact_is_drawn_only_where_it_is_wired() -> None:
    coil = symbol_of(made("relay", pins=("a1", "a2")))
    assert coil.body.right < symbol_of(made("relay")).body.right / 2
