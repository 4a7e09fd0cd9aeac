"""Where every pin goes: part lines, chains, `joins` and `supply` lines bound to nets."""

from collections.abc import Iterable
from dataclasses import replace

from tracegraph.notation.syntax import (
    ChainLine,
    JoinsLine,
    PartLine,
    Setting,
    SupplyLine,
    Word,
)
from tracegraph.stage.kind import Form, a
from tracegraph.stage.meaning.chains import bind_chain
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.lines import Line, bare_nets, net_words
from tracegraph.stage.meaning.names import DESIGNATOR, bind, find_pin, leg_name, spot
from tracegraph.stage.meaning.pinout import (
    is_parameter,
    looks_like_parameter,
    refuse_setting,
    split_pin,
)
from tracegraph.stage.part import Part, Pin


def connect(desk: Desk, lines: Iterable[Line]) -> None:
    """Bind the pins that the lines speak of, in the order written."""
    lines = list(lines)
    for line in lines:
        _spell(desk, line)
    for line in lines:
        match line.statement:
            case PartLine(ref=ref) if ref.text.lower() not in desk.lost:
                _part_line(desk, line.statement)
            case ChainLine():
                bind_chain(desk, line.statement)
            case JoinsLine(net=net, pins=pins):
                _joins(desk, net, pins)
            case SupplyLine(ref=ref, settings=settings):
                _supply(desk, ref, settings)
            case _:
                continue


def _spell(desk: Desk, line: Line) -> None:
    """Remember how nets are first written, whichever line uses them first."""
    for word in net_words(line.statement):
        ref, dot, _ = word.text.lower().rpartition(".")
        pin = dot and (ref in desk.parts or DESIGNATOR.fullmatch(ref))
        if not pin and word.text.lower() not in desk.parts:
            desk.nets[word.text.lower()] += 1
            desk.joints.net(word.text, word.span)


def _part_line(desk: Desk, line: PartLine) -> None:
    part = desk.part(line.ref.text)
    if part is None or part.written != line.ref.span:
        return  # a second line of the same designator; already reported
    if line.ends:
        _ends(desk, part, line)
    for setting in line.settings:
        if not is_parameter(part.kind, setting):
            _pin_setting(desk, part, setting)
    if line.dot:
        _dot(desk, part, line.dot)
    if len(part.kind.pins) == 1 and not line.settings:
        _only_net(desk, part, line)


def _only_net(desk: Desk, part: Part, line: PartLine) -> None:
    """Bind the one pin of a test point whose net is written bare: `TP1 GATE`."""
    for word in bare_nets(line):
        bind(desk, Pin(part.ref, part.kind.pins[0].name), word)


def _ends(desk: Desk, part: Part, line: PartLine) -> None:
    """Bind the two ends of a part, left as written to its first pin."""
    names = [spec.name for spec in part.kind.pins] or ["1", "2"]
    if part.kind.form is Form.PINS or len(names) != 2:
        listed = " ".join(f"{name}=..." for name in names)
        message = f"{part.ref} is {a(part.kind.title)}: two ends do not tell its pins."
        desk.error("pins-wanted", message, line.ref, f"Write {line.ref.text} {listed}")
    elif line.ends:
        bind(desk, Pin(part.ref, names[0]), line.ends.left)
        bind(desk, Pin(part.ref, names[1]), line.ends.right)


def _pin_setting(desk: Desk, part: Part, setting: Setting) -> None:
    name, number = split_pin(setting.name)
    own = leg_name(part, name if part.pinout or not number else number)
    if own is None or looks_like_parameter(part, setting):
        refuse_setting(desk, part, setting)
    else:
        bind(desk, Pin(part.ref, own), setting.value)


def _dot(desk: Desk, part: Part, word: Word) -> None:
    """Remember at which pin a winding starts."""
    key = spot(desk, word)
    for name in (spec.name for spec in part.kind.pins):
        pin = Pin(part.ref, name)
        if key is not None and pin in desk.joints and desk.joints.same(pin, key):
            desk.put(replace(part, variant=part.variant | {f"dot {name}"}))
            return
    if key is not None:
        message = f"{part.ref} has no end on {word.text}, where its dot should be."
        desk.doubt("dot-elsewhere", message, word, "Write the net of the dotted end.")


def _joins(desk: Desk, net: Word, pins: tuple[Word, ...]) -> None:
    for word in pins:
        if word.text.rpartition(".")[1] or word.text.lower() in desk.parts:
            pin = find_pin(desk, _only_pin(desk, word))
            if pin:
                bind(desk, pin, word, net)
        else:
            _no_pin(desk, net, word)


def _only_pin(desk: Desk, word: Word) -> Word:
    """Return the pin meant by a bare designator of a one-pin part (`TP1`)."""
    part = desk.part(word.text)
    if part and len(part.kind.pins) == 1:
        return word._replace(text=f"{word.text}.{part.kind.pins[0].name}")
    return word


def _no_pin(desk: Desk, net: Word, word: Word) -> None:
    message = f"{net.text} joins pins, and {word.text} is none."
    hint = f"Two nets found joined are written `link {net.text} {word.text}`."
    desk.error("no-pin", message, word, hint)


def _supply(desk: Desk, ref: Word, settings: tuple[Setting, ...]) -> None:
    """Bind the supply pins of a package on each of its units."""
    units = desk.unit_of(ref.text)
    if not units and ref.text.lower() not in desk.lost:
        known = {part.package for part in desk.parts.values()}
        message = f"No line tells what {ref.text} is."
        hint = ask_meant(ref.text, known, "Write a line for each of its units.")
        desk.error("unknown-part", message, ref, hint)
    for setting in settings if units else ():
        name, _ = split_pin(setting.name)
        legs = [(unit, own) for unit in units if (own := leg_name(unit, name))]
        if not legs:
            refuse_setting(desk, units[0], setting)
        for unit, own in legs:
            bind(desk, Pin(unit.ref, own), setting.value)


def share_supplies(desk: Desk) -> None:
    """Let units of one package share the supply pins that one of them names."""
    for part in list(desk.parts.values()):
        for unit in desk.unit_of(part.package) if "." in part.ref else ():
            for spec in part.kind.pins:
                own, other = Pin(part.ref, spec.name), Pin(unit.ref, spec.name)
                shared = spec.role in {"supply", "ground"}
                if shared and other in desk.joints and own not in desk.joints:
                    span = desk.joints.place(other)
                    desk.joints.join(desk.joints.pin(own, span), other)
