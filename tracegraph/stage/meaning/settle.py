"""Parts with their nets, once every line has said what meets what."""

from dataclasses import replace
from types import MappingProxyType

from tracegraph.notation.syntax import BreakLine, TouchedLine, UntracedLine, Word
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.lines import Line
from tracegraph.stage.meaning.names import find_pin
from tracegraph.stage.part import Part, Pin, Status
from tracegraph.stage.stage import Break


def settle(desk: Desk, lines: list[Line]) -> list[Break]:
    """Give every part its nets and marks; return where nets were found parted."""
    loose = _loose_pins(desk, lines)
    names = desk.joints.names()
    for part in list(desk.parts.values()):
        desk.put(_with_nets(desk, part, names, loose))
    for line in lines:
        if isinstance(line.statement, TouchedLine):
            _touch(desk, line.statement)
    breaks = [line.statement for line in lines if isinstance(line.statement, BreakLine)]
    return [found for one in breaks if (found := _part_from(desk, one))]


def _with_nets(
    desk: Desk, part: Part, names: dict[Pin, str], loose: dict[Pin, Word]
) -> Part:
    """Return the part with its pins; a pin that no line places has a net of its own."""
    own = {pin.name: net for pin, net in names.items() if pin.part == part.ref}
    listed = [spec.name for spec in part.kind.pins]
    order = [name for name in listed if name in own]
    order += [name for name in own if name not in listed]
    pins = {name: own[name] for name in order}
    missing = (
        [] if part.kind.open_pins else [name for name in listed if name not in own]
    )
    unknown = {pin.name for pin in loose if pin.part == part.ref} | set(missing)
    unknown |= {p.name for p in desk.unbound if p.part == part.ref and _alone(p, own)}
    _ask_missing(desk, part, missing, unknown - set(_loose_names(loose, part)))
    for name in sorted(unknown):
        pins.setdefault(name, str(Pin(part.ref, name)))
    return replace(part, pins=MappingProxyType(pins), untraced=frozenset(unknown))


def _alone(pin: Pin, nets: dict[str, str]) -> bool:
    """Return whether a pin is on a net that only it gives its name to."""
    return nets.get(pin.name) == str(pin)


def _loose_names(loose: dict[Pin, Word], part: Part) -> list[str]:
    """Return the pins of a part that a line calls not traced."""
    return [pin.name for pin in loose if pin.part == part.ref]


def _ask_missing(desk: Desk, part: Part, missing: list[str], asked: set[str]) -> None:
    """Ask for the pins that no line speaks of."""
    left = [name for name in missing if name in asked]
    if not left or part.written is None or part.status is Status.ABSENT:
        return
    word = Word(part.ref, part.written)
    if len(left) == len(part.kind.pins):
        message = f"{part.ref} goes nowhere: no line says where its pins are."
        ends = " ".join(f"{name}=NET" for name in left)
        hint = f"Write its two ends, as {part.ref} A -- B." if len(left) == 2 else ends
        desk.doubt("no-ends", message, word, hint)
        return
    roles = {spec.name: spec.role or spec.name for spec in part.kind.pins}
    named = ", ".join(f"{name} ({roles[name]})" for name in left)
    message = f"{part.ref}: no line says where {named} goes."
    hint = f"Write {left[0]}=NET, or `{part.ref}.{left[0]} not traced`."
    desk.doubt("pin-missing", message, word, hint)


def _loose_pins(desk: Desk, lines: list[Line]) -> dict[Pin, Word]:
    """Return the pins that lines call not traced; nets are kept on the desk."""
    found: dict[Pin, Word] = {}
    for line in lines:
        if not isinstance(line.statement, UntracedLine):
            continue
        for word in line.statement.targets:
            if word.text.rpartition(".")[0].lower() in {*desk.parts, *desk.lost}:
                pin = find_pin(desk, word)
                if pin and pin in desk.joints:
                    _ask_traced(desk, pin, word)
                elif pin:
                    found[pin] = word
            else:
                desk.untraced.append(word.text)
                desk.joints.net(word.text, word.span)
    return found


def _ask_traced(desk: Desk, pin: Pin, word: Word) -> None:
    message = f"{pin} is called not traced, but another line says where it goes."
    hint = "That line is kept. For a net on which more hangs, write `not traced NET`."
    desk.doubt("traced-after-all", message, word, hint)
    desk.relate(desk.joints.place(pin), f"{pin} is placed here")


def _touch(desk: Desk, line: TouchedLine) -> None:
    for ref in line.refs:
        parts = [desk.part(ref.text)] if desk.part(ref.text) else desk.unit_of(ref.text)
        if not parts and ref.text.lower() not in desk.lost:
            known = [part.ref for part in desk.parts.values()]
            hint = ask_meant(ref.text, known, f"Write a line for {ref.text}.")
            message = f"No line tells what {ref.text} is."
            desk.error("unknown-part", message, ref, hint)
        for part in parts:
            if part:
                remark = line.remark.text if line.remark else ""
                desk.put(replace(part, touched=True, note=_joined(part.note, remark)))


def _joined(note: str, remark: str) -> str:
    return "; ".join(text for text in dict.fromkeys((note, remark)) if text)


def _part_from(desk: Desk, line: BreakLine) -> Break | None:
    """Put a pin that was found parted on a net of its own."""
    pin = find_pin(desk, line.pin)
    part = desk.part(pin.part) if pin else None
    if pin is None or part is None:
        return None
    net = part.pins.get(pin.name, "")
    if net.lower() != line.net.text.lower():
        message = f"{pin} is not on {line.net.text}" + (
            f" but on {net}." if net else "."
        )
        hint = "Write where the pin belongs on the part's own line first."
        desk.error("break-elsewhere", message, line.pin, hint)
        return None
    desk.put(part.with_pins({**part.pins, pin.name: str(pin)}))
    return Break(net, pin, line.span)
