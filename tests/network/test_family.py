"""Many alterations in one structure against each of them made the plain way."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import permutations
from math import inf

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.network.test_altered import FAN
from tests.test_examples import stage_of
from tracegraph.network.altered import compiled
from tracegraph.network.circuit import Floats, compile_stage
from tracegraph.network.drive import Drive, trusted
from tracegraph.network.family import (
    Between,
    Dead,
    Family,
    Instead,
    Repin,
    Way,
    alone,
    family,
    variants_of,
)
from tracegraph.network.linear import changed, resistances
from tracegraph.network.ports import solve_pairs
from tracegraph.notation.source import from_text
from tracegraph.quantity import exact
from tracegraph.stage.alter import apply
from tracegraph.stage.change import Change, Cut, Tie, Vary
from tracegraph.stage.part import Pin
from tracegraph.stage.read import read
from tracegraph.stage.stage import Stage

DIODE = Drive(1e-3, inf, 3.2)
LOW = Drive(0.4 / 1.2e3, 1.2e3, 0.4)  # lowest range of the meter that is built in
HIGH = Drive(0.4 / 12e6, 12e6, 0.4)
BOLD = Drive(3.0 / 10e3, 10e3, 3.0)  # turns junctions on
DRIVES = {"diode": DIODE, "low ohms": LOW, "high ohms": HIGH, "3 V ohms": BOLD}
SECTIONS = ("fan", "treadmill-gate-drive", "dryer-relay-driver")
SHORT = 0.1  # ohms of a dead short
PATHS = (0.0, 3.0, 100.0, 3e3, 1e5, 1e6, inf)
VALUES = (1.0, 47.0, 1e4, inf)
# Where no path leads the plain way tells the open meter's volts; here the leak of a
# bypass that conducts nothing and 20 mohm of each joint are left.
NEAR = 1e-4


@cache
def section(name: str) -> Stage:
    """Return a section by the name of its example, or the fan's."""
    if name == "fan":
        return read(from_text("fan", FAN))
    return replace(stage_of(f"{name}.trace"), log=())


@cache
def pairs_of(name: str) -> list[tuple[str, str]]:
    """Return all pairs of a section's nets, both ways round."""
    return list(permutations(section(name).nets, 2))


def plainly(stage: Stage, way: Way) -> Iterator[Stage]:
    """Yield the section for each value of a way, altered by the plain means."""
    if isinstance(way, Repin):
        yield repinned(stage, way)
        return
    assert not isinstance(way, Dead)  # cold sections only
    for ohms in way.ohms:
        made: tuple[Change, ...] = ()
        if isinstance(way, Between) and ohms != inf:
            made = (Tie(way.a, way.b, max(ohms, SHORT)),)
        elif isinstance(way, Instead):
            vary = Vary(way.part, "r", exact(max(ohms, SHORT), "ohm"))
            made = (Cut(Pin(way.part, "1")),) if ohms == inf else (vary,)
        yield apply(stage, made, keep_names=True)


def repinned(stage: Stage, way: Repin) -> Stage:
    """Return the section with pins of one part on other nets, or on nets of their own."""
    part = stage.part(way.part)
    assert part is not None
    moved = {pin: net or f"air {way.part}.{pin}" for pin, net in way.pins}
    other = part.with_pins({**part.pins, **moved})
    return replace(stage, parts=tuple(other if x is part else x for x in stage.parts))


def paths(stage: Stage) -> list[Way]:
    """Return paths between nets near and far."""
    nets = list(stage.nets)
    return [
        Between(a, b, PATHS) for a, b in zip(nets, nets[3:] + nets[:3], strict=True)
    ]


def values(stage: Stage) -> list[Way]:
    """Return every resistor with other values."""
    refs = [part.ref for part in stage.parts if part.kind.word == "resistor"]
    return [Instead(ref, VALUES) for ref in refs]


def pins(stage: Stage) -> list[Way]:
    """Return parts with a pin lifted, exchanged, moved, turned round and taken out."""
    nets, found = list(stage.nets), list[Way]()
    for part in stage.parts:
        own = list(part.pins.items())
        if len(own) in {2, 3}:
            last, first = own[-1][1], own[0]
            found += [
                Repin(part.ref, ((first[0], ""),)),
                Repin(part.ref, ((first[0], last), (own[-1][0], first[1]))),
                Repin(part.ref, tuple((pin, "") for pin, _ in own)),
            ]
        if len(own) == 3:
            turned = zip(own, [*own[1:], own[0]], strict=True)
            found += [
                Repin(part.ref, tuple((here[0], there[1]) for here, there in turned)),
                Repin(part.ref, ((own[1][0], nets[1]),)),
            ]
    return found


KINDS = {"paths": paths, "values": values, "pins": pins}


def solved(own: Family, row: int, name: str, drive: Drive) -> Floats:
    """Return the volts of one variant over all pairs; every current adds up to zero."""
    nodes = own.nodes(pairs_of(name))
    found = own.solve(np.full(len(nodes), row), nodes, drive)
    assert found.converged.all()
    assert trusted(found.residual, drive).all()
    return found.volts


def afresh(stage: Stage, name: str, drive: Drive) -> Floats:
    """Return the same of a section that is compiled and solved anew."""
    circuit = compile_stage(stage)
    nodes = [[circuit.nodes[a], circuit.nodes[b]] for a, b in pairs_of(name)]
    found = solve_pairs(circuit, np.array(nodes), drive)
    assert found.converged.all()
    return found.volts


@pytest.mark.parametrize("name", SECTIONS)
@pytest.mark.parametrize("kind", KINDS)
def test_every_variant_reads_as_if_made_alone(name: str, kind: str) -> None:
    stage = section(name)
    ways = KINDS[kind](stage)[: 12 if kind == "pins" else 7]
    own = family(compiled(stage), ways)
    assert len(own.values) == sum(variants_of(way) for way in ways)
    made = [one for way in ways for one in plainly(stage, way)]
    for row, one in enumerate(made):
        drive = DRIVES[sorted(DRIVES)[row % len(DRIVES)]]
        off = np.abs(solved(own, row, name, drive) - afresh(one, name, drive))
        assert off.max() < NEAR, (ways, row, drive)


@pytest.mark.parametrize("drive", DRIVES.values(), ids=DRIVES)
def test_all_kinds_of_ways_in_one_structure(drive: Drive) -> None:
    """Each alone, though a resistor that has other values is one that is lifted, too."""
    stage = section("fan")
    ways: list[Way] = [
        Between("GATE", "COM", (0.0, 150.0)),
        Instead("R5", (470.0, inf)),
        Repin("R5", (("1", ""),)),
        Instead("R5", (2.2e3,)),
        Repin("Q1", (("b", "N"), ("c", "B"))),
        Repin("Q1", (("b", ""),)),
        Between("GATE", "COM", (inf,)),
    ]
    own = family(compiled(stage), ways)
    made = [one for way in ways for one in plainly(stage, way)]
    assert len(own.values) == len(made) == 9
    for row, one in enumerate(made):
        off = np.abs(solved(own, row, "fan", drive) - afresh(one, "fan", drive))
        assert off.max() < NEAR


@pytest.mark.parametrize("name", SECTIONS)
def test_a_section_by_itself_is_the_only_variant(name: str) -> None:
    own = alone(compiled(section(name)))
    assert own.values.shape == (1, len(own.circuit.values))
    for drive in (DIODE, HIGH):
        fresh = afresh(section(name), name, drive)
        assert solved(own, 0, name, drive) == pytest.approx(fresh, abs=1e-9)


def test_what_is_not_tried_changes_nothing() -> None:
    """The structure's own values are the section's: a bypass conducts nothing."""
    stage = section("fan")
    own = family(compiled(stage), [*paths(stage)[:3], *pins(stage)[:5]])
    unaltered = Family(own.circuit, own.nets, own.circuit.values[None])
    for drive in DRIVES.values():
        off = solved(unaltered, 0, "fan", drive) - afresh(stage, "fan", drive)
        assert np.abs(off).max() < NEAR


nets_of_the_fan = st.sampled_from(list(section("fan").nets))
ohms = st.one_of(st.just(0.0), st.floats(0.0, 7.0).map(lambda power: 10.0**power))


@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(nets_of_the_fan, nets_of_the_fan, ohms).filter(
            lambda one: one[0] != one[1]
        ),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from([DIODE, LOW, HIGH]),
)
def test_any_path_between_any_nets(
    ties: list[tuple[str, str, float]], drive: Drive
) -> None:
    stage = section("fan")
    own = family(compiled(stage), [Between(a, b, (r,)) for a, b, r in ties])
    for row, (a, b, r) in enumerate(ties):
        plain = apply(stage, (Tie(a, b, max(r, SHORT)),), keep_names=True)
        off = solved(own, row, "fan", drive) - afresh(plain, "fan", drive)
        assert np.abs(off).max() < NEAR


def test_the_start_does_not_change_the_answer() -> None:
    stage = section("fan")
    own = family(compiled(stage), [Between("GATE", "COM", (0.0, 47.0, 4.7e3, inf))])
    nodes = own.nodes(pairs_of("fan"))
    for drive in DRIVES.values():
        near = own.solve(np.full(len(nodes), 3), nodes, drive)
        for row in range(3):
            rows = np.full(len(nodes), row)
            warm = own.solve(rows, nodes, drive, near)
            assert warm.volts == pytest.approx(
                own.solve(rows, nodes, drive).volts, abs=1e-7
            )


def test_what_is_no_resistor_has_no_other_value() -> None:
    with pytest.raises(ValueError, match="Q1 has no resistance to be varied"):
        family(compiled(section("fan")), [Instead("Q1", (1e3,))])


@st.composite
def ladders(draw: st.DrawFn) -> list[tuple[int, int, float]]:
    """Draw a connected network of resistors, a few of them across."""
    nodes = draw(st.integers(3, 7))
    size = st.floats(1.0, 5.0).map(lambda power: 10.0**power)
    tree = [(draw(st.integers(0, k - 1)), k, draw(size)) for k in range(1, nodes)]
    ends = st.tuples(st.integers(0, nodes - 1), st.integers(0, nodes - 1))
    more = draw(st.lists(st.tuples(ends, size), max_size=6))
    return tree + [(a, b, r) for (a, b), r in more if a != b]


@settings(max_examples=25)
@given(ladders(), st.data())
def test_resistors_alone_follow_the_rank_one_formula(
    edges: list[tuple[int, int, float]], data: st.DataObject
) -> None:
    """Sherman & Morrison in resistances, and networkx.resistance_distance."""
    lines = [f"R{k} {r}R N{a} -- N{b}" for k, (a, b, r) in enumerate(edges, 1)]
    base = compiled(read(from_text("ladder", "\n".join(["ground N0", *lines]))))
    nets = sorted(base.stage.nets)
    a, b = data.draw(st.permutations(nets))[:2]
    extra = 10.0 ** data.draw(st.floats(0.0, 5.0))
    own = family(base, [Between(a, b, (extra,))])
    found = list(permutations(nets, 2))
    row = own.solve(np.zeros(len(found), np.intp), own.nodes(found), BOLD)
    reads = row.volts / row.amps

    node = base.circuit.nodes
    formula = changed(resistances(base.circuit), (node[a], node[b]), 1 / extra)
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    for c, d, r in [*((f"N{c}", f"N{d}", r) for c, d, r in edges), (a, b, extra)]:
        graph.add_edge(c, d, weight=r)
    outside = [nx.resistance_distance(graph, *one, weight="weight") for one in found]
    expected = [formula[node[red], node[black]] for red, black in found]
    assert reads == pytest.approx(expected, rel=1e-5)
    assert reads == pytest.approx(np.array(outside, float), rel=1e-5)
