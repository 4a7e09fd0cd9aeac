"""What holds for every kind of the registry, and how kinds are found."""

from collections import Counter
from math import isfinite
from typing import get_args

import pytest

from tests.every import of_every
from tests.stage.kinds.made import made
from tracegraph.quantity import Origin, Quantity
from tracegraph.stage.branch import (
    Branch,
    Channel,
    Junction,
    Store,
    Transistor,
    terminals,
)
from tracegraph.stage.change import Cut, Permute, Remove, Tie, Vary
from tracegraph.stage.kind import Form, Kind
from tracegraph.stage.kinds import KINDS, find_kind, kind_of_letters, letters_of
from tracegraph.stage.part import Part

EVERY = of_every(KINDS)
# A value that a kind cannot know before it is read off the part or written.
TO_BE_READ = {"r", "c", "z", "vz", "i", "f", "turns", "vout"}


def fields(branch: Branch) -> dict[str, object]:
    return branch._asdict()


def every_form(word: str) -> list[Part]:
    own = [text for text, kind in KINDS[word].variants.items() if kind == word]
    return [made(word), *(made(word, text) for text in own)]


def branches(part: Part) -> list[Branch]:
    live = part.kind.live or part.kind.cold
    return [*part.kind.cold(part), *live(part)]


@EVERY
def test_a_kind_says_what_it_is(word: str) -> None:
    kind = KINDS[word]
    assert kind.title
    assert kind.letters == tuple(letter.upper() for letter in kind.letters)
    assert kind.rate > 0
    assert kind.rate_source
    assert kind.roles
    assert all(name == name.lower() for name in (word, *kind.aliases, *kind.variants))


def test_no_word_means_two_kinds() -> None:
    said = Counter(w for kind in KINDS.values() for w in (kind.word, *kind.aliases))
    assert [word for word, times in said.items() if times > 1] == []


@EVERY
def test_pins_have_names_of_their_own(word: str) -> None:
    pins = KINDS[word].pins
    for label in ("names", "numbers"):
        own = [s.name.lower() if label == "names" else s.number for s in pins]
        assert max(Counter(filter(None, own)).values(), default=1) == 1
    said = Counter(
        name for s in pins for name in {s.name.lower(), *s.aliases, s.number} if name
    )
    assert [name for name, times in said.items() if times > 1] == []
    assert all(spec.role for spec in pins)


@EVERY
def test_two_terminal_forms_have_two_pins(word: str) -> None:
    kind = KINDS[word]
    if kind.form is not Form.PINS:
        assert [spec.number for spec in kind.pins] == ["1", "2"]


@EVERY
def test_a_parameter_is_not_taken_for_a_pin(word: str) -> None:
    kind = KINDS[word]
    names = {name for s in kind.pins for name in (s.name.lower(), *s.aliases)}
    # A regulator's `vout` is both; a quantity after it tells which is meant.
    assert names & kind.parameters.keys() <= {"vout"}


@EVERY
def test_every_usual_value_has_its_source(word: str) -> None:
    kind = KINDS[word]
    for symbol, entry in kind.parameters.items():
        assert symbol == entry.symbol == symbol.lower()
        assert entry.source
        assert 0 <= entry.tolerance < 1
        assert entry.quantity.origin in {Origin.USUAL, Origin.UNKNOWN}
        assert isfinite(entry.quantity.low)
        assert isfinite(entry.quantity.high)
    assert not kind.value or kind.value in kind.parameters


@EVERY
def test_only_values_that_must_be_read_are_unknown(word: str) -> None:
    entries = KINDS[word].parameters.values()
    unknown = {e.symbol for e in entries if not e.quantity.known and not e.optional}
    assert unknown <= TO_BE_READ


@EVERY
def test_branches_stand_on_the_parts_own_pins(word: str) -> None:
    for part in every_form(word):
        for branch in branches(part):
            assert isinstance(branch, get_args(Branch))
            ends = set(terminals(branch))
            assert {end for end in ends if not end.startswith("*")} <= part.pins.keys()
            assert len(ends) >= 2


@EVERY
def test_branches_have_typical_values_or_say_that_they_are_unknown(word: str) -> None:
    for part in every_form(word):
        for branch in branches(part):
            for value in fields(branch).values():
                if isinstance(value, Quantity) and value.typical is None:
                    assert value.origin is Origin.UNKNOWN
                elif isinstance(value, Quantity):
                    assert isfinite(value.typical or 0.0)


@EVERY
def test_drops_and_breakdowns_carry_their_test_condition(word: str) -> None:
    for part in every_form(word):
        for branch in branches(part):
            if isinstance(branch, Junction | Transistor):
                assert branch.drop.at
                assert branch.breakdown is None or branch.breakdown.at
            if isinstance(branch, Channel):
                assert branch.on_ohms.at


@EVERY
def test_nothing_cold_needs_a_supply(word: str) -> None:
    for part in every_form(word):
        kinds = {type(branch).__name__ for branch in part.kind.cold(part)}
        assert not kinds & {"Source", "Follower"}


@EVERY
def test_the_shares_of_a_kinds_failures_add_up(word: str) -> None:
    part = made(word)
    faults = part.kind.faults(part)
    if word == "testpoint":
        assert faults == ()
        return
    assert sum(fault.share for fault in faults) == pytest.approx(1.0)
    assert len({fault.name for fault in faults}) == len(faults)
    assert all(f.share > 0 and f.source and f.words.startswith("X1") for f in faults)


@EVERY
def test_a_fault_changes_what_the_part_has(word: str) -> None:
    part = made(word)
    nets = set(part.pins.values())
    for change in (one for fault in part.kind.faults(part) for one in fault.changes):
        match change:
            case Cut(pin):
                assert pin.part == "X1"
                assert pin.name in part.pins
            case Tie(a, b, ohms):
                assert {a, b} <= nets
                assert a != b
                assert ohms >= 0
            case Vary(ref, symbol, quantity):
                assert ref == "X1"
                assert quantity.unit == part.quantity(symbol).unit
            case Permute(ref, pins):
                assert ref == "X1"
                assert pins.keys() == set(pins.values()) <= part.pins.keys()
            case Remove(ref):
                assert ref == "X1"
            case _:
                pytest.fail(f"no fault of a part is a {change}")


@EVERY
def test_a_variant_leads_to_a_kind(word: str) -> None:
    assert set(KINDS[word].variants.values()) <= KINDS.keys()


@pytest.mark.parametrize(
    ("word", "variant", "made_of_it"),
    [
        ("diode", "schottky", "schottky"),
        ("schottky", "common cathode", "commoncathode-schottky"),
        ("commoncathode", "schottky", "commoncathode-schottky"),
        ("nfet", "sic", "sicfet"),
        ("led", "white", "whiteled"),
        ("opto", "gate driver", "optodriver"),
        ("igbt", "no diode", "igbt"),
    ],
)
def test_a_second_word_makes_another_kind(
    word: str, variant: str, made_of_it: str
) -> None:
    assert KINDS[word].variants[variant] == made_of_it


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ("NPN", "npn"),
        ("nmos", "nfet"),
        ("thyristor", "scr"),
        ("OptoCoupler", "opto"),
        ("transformer", "winding"),
        ("link", "jumper"),
        ("dualdiode", "commoncathode"),
        ("elko", "electrolytic"),
    ],
)
def test_a_kind_is_found_by_word_or_alias_in_any_case(said: str, word: str) -> None:
    assert find_kind(said) == KINDS[word]


def test_a_word_that_is_no_kind_finds_none() -> None:
    assert find_kind("transmogrifier") is None


# Designator letters that mean one thing only: IEEE 315 and the bench, from memory.
@pytest.mark.parametrize(
    ("ref", "word"),
    [
        ("R11", "resistor"),
        ("rn2.3", "array"),
        ("C4", "capacitor"),
        ("L1", "inductor"),
        ("D7", "diode"),
        ("CR7", "diode"),
        ("LED3", "led"),
        ("F1", "fuse"),
        ("K1", "relay"),
        ("T1.pri", "winding"),
        ("RT1", "ntc"),
        ("RV1", "varistor"),
        ("TP4", "testpoint"),
        ("J3", "connector"),
        ("U7.A", "ic"),
        ("Y1", "crystal"),
    ],
)
def test_letters_tell_the_kind(ref: str, word: str) -> None:
    kind = kind_of_letters(ref)
    assert kind is not None
    assert kind.word == word
    assert letters_of(ref) in kind.letters


@pytest.mark.parametrize("ref", ["Q11", "V3", "Z2", "", "7"])
def test_letters_that_mean_several_things_tell_none(ref: str) -> None:
    assert kind_of_letters(ref) is None


def test_a_stored_charge_is_never_negative() -> None:
    """Ciss under Crss, as corners of two spreads may make it, leaves no Cgs."""
    stores = [
        branch
        for kind in KINDS.values()
        for branch in _cold(kind)
        if isinstance(branch, Store)
    ]
    assert stores
    assert all(store.farads.low >= 0 for store in stores)


def _cold(kind: Kind) -> tuple[Branch, ...]:
    return kind.cold(made(kind.word))
