"""Reads a drawing back: which pins are joined, by what an eye sees in the SVG alone.

What a wire says of itself is not believed; a port is believed by the name beside it.
"""

import re
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from typing import NamedTuple
from xml.etree import ElementTree as ET

from tests.draw.copper import Groups, Piece, Place, Tied, joined
from tracegraph.stage.stage import RestForm, Stage

EMPTY = "a net without parts"
EVERYWHERE = {"rail", "ground", "input", "sheet"}
"""Ports that a reader joins by their name on all sheets."""

HERE = "name"
"""Ports that a reader joins by their name on one sheet."""

_STEP = re.compile(r"([A-Za-z])([^A-Za-z]*)")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


class Pictured(NamedTuple):
    """What stands on one sheet.

    Attributes:
        pieces: Straight pieces of wire.
        dots: Junction dots.
        pins: Every pin and where it is; a pin drawn twice is twice here.
        ports: Net and form of every port, and where it is.
    """

    pieces: tuple[Piece, ...]
    dots: tuple[Place, ...]
    pins: tuple[Tied, ...]
    ports: tuple[tuple[str, str, Place], ...]


def pictured(svg: str) -> Pictured:
    """Return what stands on a sheet; what is only a ghost is left out."""
    pieces: list[Piece] = []
    dots: list[Place] = []
    pins: list[Tied] = []
    ports: list[tuple[str, str, Place]] = []
    for element in _solid(ET.fromstring(svg)):
        classes = set(element.get("class", "").split())
        if "wire" in classes and _local(element) == "path":
            pieces += _pieces(element.attrib["d"])
        if "dot" in classes and _local(element) == "circle":
            dots.append(_place(element, "cx", "cy"))
        if "data-pin" in element.attrib:
            pins.append(Tied(element.attrib["data-pin"], _place(element)))
        if "port" in classes:
            kept = element.attrib
            ports.append((kept["data-net"], kept["data-form"], _place(element)))
    return Pictured(tuple(pieces), tuple(dots), tuple(pins), tuple(ports))


def _solid(element: ET.Element) -> Iterator[ET.Element]:
    """Yield an element and all in it, but nothing of ghosts."""
    assert "transform" not in element.attrib, "geometry hidden behind a transform"
    if "ghost" in {*element.get("class", "").split(), element.get("data-status")}:
        return
    yield element
    for child in element:
        yield from _solid(child)


def _local(element: ET.Element) -> str:
    return element.tag.rpartition("}")[2]


def _place(element: ET.Element, x: str = "data-x", y: str = "data-y") -> Place:
    return _round(element.attrib[x]), _round(element.attrib[y])


def _round(number: str) -> float:
    return round(float(number), 1)


def _pieces(path: str) -> Iterator[Piece]:
    """Yield the straight pieces of a path of absolute M, L, H and V."""
    now = (0.0, 0.0)
    for letter, rest in _STEP.findall(path):
        numbers = [_round(one) for one in _NUMBER.findall(rest)]
        for k, to in enumerate(_steps(letter, numbers, now)):
            if letter != "M" or k:
                yield now, to
            now = to


def _steps(letter: str, numbers: list[float], now: Place) -> Iterator[Place]:
    """Yield where a step of a path leads."""
    match letter:
        case "M" | "L":
            yield from zip(numbers[::2], numbers[1::2], strict=True)
        case "H":
            yield from ((x, now[1]) for x in numbers)
        case "V":
            yield from ((now[0], y) for y in numbers)
        case _:
            raise AssertionError(f"a wire with {letter} in its path")


def read_back(svgs: Iterable[str]) -> tuple[frozenset[str], ...]:
    """Return the pins of every net, as somebody reads them from the sheets."""
    nets: Groups[Hashable] = Groups()
    names: list[str] = []
    for number, svg in enumerate(svgs):
        seen = pictured(svg)
        names += [str(pin.name) for pin in seen.pins]
        ports = [_port(number, *port) for port in seen.ports]
        flags = [Tied(("flag", k), at) for k, (_, at) in enumerate(ports)]
        groups = joined(seen.pieces, seen.dots, [*seen.pins, *flags])
        for one in seen.pins:
            nets.join([("pin", one.name), (number, groups.find(one.name))])
        for flag, (name, _) in zip(flags, ports, strict=True):
            nets.join([name, (number, groups.find(flag.name))])
    twice = [name for name, times in Counter(names).items() if times > 1]
    assert not twice, f"drawn twice: {twice}"
    found: dict[Hashable, set[str]] = {}
    for name in names:
        found.setdefault(nets.find(("pin", name)), set()).add(name)
    return tuple(frozenset(pins) for pins in found.values())


def _port(sheet: int, net: str, form: str, at: Place) -> tuple[Hashable, Place]:
    """Return what a reader joins a port by, and where it is."""
    if form in EVERYWHERE:
        return ("net", net), at
    if form == HERE:
        return ("net", net, sheet), at
    return ("alone", sheet, form, at), at


def netlist_faults(stage: Stage, svgs: Iterable[str]) -> list[str]:
    """Return what is joined otherwise on the sheets than in the section."""
    wanted = _wanted(stage)
    found = read_back(svgs)
    drawn = {pin: group for group in found for pin in group}
    own = [part.ref for part in stage.parts]
    pseudo = {pin for pin in drawn if _owner(pin, own) is None}
    faults = [f"{pin} is not drawn" for pin in wanted if pin not in drawn]
    faults += [
        f"{pin} is joined to {sorted(drawn[pin] - {pin})}"
        for pin in drawn.keys() - wanted.keys() - pseudo
        if len(drawn[pin]) > 1
    ]
    faults += _differing(wanted, drawn, pseudo)
    faults += _pseudo_faults(stage, drawn, pseudo)
    return sorted(faults)


def _wanted(stage: Stage) -> Mapping[str, str]:
    return {str(pin): net for net, pins in stage.nets.items() for pin in pins}


def _owner(pin: str, own: Iterable[str]) -> str | None:
    """Return the part of the section that a drawn pin belongs to."""
    return next((ref for ref in own if pin.startswith(f"{ref}.")), None)


def _differing(
    wanted: Mapping[str, str], drawn: Mapping[str, frozenset[str]], pseudo: set[str]
) -> Iterator[str]:
    """Yield where pins of one net are apart, or of two nets together."""
    for net in dict.fromkeys(wanted.values()):
        pins = {pin for pin, own in wanted.items() if own == net and pin in drawn}
        groups = {drawn[pin] for pin in pins}
        if len(groups) > 1:
            parts = [sorted(group - pseudo) for group in groups]
            yield f"net {net} is drawn in {len(groups)} pieces: {sorted(parts)}"
        strange = {wanted[pin] for group in groups for pin in group if pin in wanted}
        if strange - {net}:
            yield f"net {net} is joined to {sorted(strange - {net})}"


def _pseudo_faults(
    stage: Stage, drawn: Mapping[str, frozenset[str]], pseudo: set[str]
) -> Iterator[str]:
    """Yield where links and rests are not between the nets that they belong to.

    Each is drawn as a part with two pins of its own; how it is called is not looked at.
    """
    rests = [
        one for one in stage.rests if one.form is not RestForm.NONE and one.a != one.b
    ]
    pairs = [(one.a, one.b) for one in stage.links]
    pairs += [(one.a, one.b) for one in rests]
    wanted = Counter(
        frozenset(net if stage.nets[net] else EMPTY for net in pair) for pair in pairs
    )
    nets = _wanted(stage)
    found: Counter[frozenset[str]] = Counter()
    empty: dict[frozenset[str], int] = {}
    for ref in sorted({pin.rpartition(".")[0] for pin in pseudo}):
        ends: set[str] = set()
        for pin in (pin for pin in pseudo if pin.rpartition(".")[0] == ref):
            own = {nets[other] for other in drawn[pin] if other in nets}
            ends |= own or {EMPTY}
            if not own:
                empty[drawn[pin]] = len(drawn[pin])
        found[frozenset(ends)] += 1
    for pair in wanted.keys() | found.keys():
        if found[pair] != wanted[pair]:
            told = " and ".join(sorted(pair))
            yield f"{found[pair]} links or rests between {told}, not {wanted[pair]}"
    ends_of = Counter(net for pair in pairs for net in pair if not stage.nets[net])
    if sorted(empty.values()) != sorted(ends_of.values()):
        yield f"links join {sorted(empty.values())} on nets without parts"


def assert_same_netlist(stage: Stage, svgs: Iterable[str]) -> None:
    """Hold that the sheets show the section's nets, pin for pin."""
    faults = netlist_faults(stage, svgs)
    assert not faults, "\n".join(faults)
