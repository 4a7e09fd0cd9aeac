"""What a name on a line stands for, a net or a pin, and how the two meet."""

import re

from tracegraph.notation.syntax import Word
from tracegraph.stage.kind import Kind, a
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.joints import Clash, Key
from tracegraph.stage.part import Part, Pin

DESIGNATOR = re.compile(r"[A-Za-z]+\d+(\.\w+)?")


def spot(desk: Desk, word: Word) -> Key | None:
    """Return where a net's name or a pin's name lies; None after reporting why not."""
    if word.quoted:
        return desk.joints.net(word.text, word.span)
    if word.text.lower() in desk.parts:
        _ask_for_pin(desk, word)
        return None
    ref, dot, _leg = word.text.rpartition(".")
    if dot and (ref.lower() in {*desk.parts, *desk.lost} or DESIGNATOR.fullmatch(ref)):
        pin = find_pin(desk, word)
        return desk.joints.pin(pin, word.span) if pin else None
    return desk.joints.net(word.text, word.span)


def find_pin(desk: Desk, word: Word) -> Pin | None:
    """Return the pin that a word such as `Q11.b` names; None after reporting why not."""
    ref, dot, leg = word.text.rpartition(".")
    if not dot:
        hint = "Write the part and its pin, as Q11.b."
        desk.error("no-pin", f"`{word.text}` is no pin.", word, hint)
        return None
    part = desk.part(ref)
    if part is None:
        return _shared_pin(desk, word, ref, leg)
    name = leg_name(part, leg)
    if name is None:
        _unknown_pin(desk, word, part, leg)
        return None
    return Pin(part.ref, name)


def leg_name(part: Part, leg: str) -> str | None:
    """Return the canonical name of a part's pin; an open part takes any name."""
    return part.leg(leg) or (leg if part.kind.open_pins else None)


def pin_list(kind: Kind) -> str:
    """Return the pins of a kind as people read them: `b, c, e`."""
    return ", ".join(spec.name for spec in kind.pins)


def _shared_pin(desk: Desk, word: Word, ref: str, leg: str) -> Pin | None:
    """Find a pin given by package and number: `U7.8` on whichever unit has it."""
    for unit in desk.unit_of(ref):
        name = leg_name(unit, leg)
        if name is not None:
            return Pin(unit.ref, name)
    if ref.lower() not in desk.lost:
        known = [part.ref for part in desk.parts.values()]
        hint = ask_meant(ref, known, f"Write a line for {ref}, or correct the name.")
        desk.error("unknown-part", f"No line tells what {ref} is.", word, hint)
    return None


def _unknown_pin(desk: Desk, word: Word, part: Part, leg: str) -> None:
    message = f"{part.ref} is {a(part.kind.title)}: it has no pin {leg}."
    names = [name for spec in part.kind.pins for name in (spec.name, *spec.aliases)]
    hint = ask_meant(leg, names, f"Its pins are {pin_list(part.kind)}.")
    desk.error("unknown-pin", message, word, hint)


def _ask_for_pin(desk: Desk, word: Word) -> None:
    part = desk.parts[word.text.lower()]
    first = part.kind.pins[0].name if part.kind.pins else "1"
    message = f"{word.text} is a part in this file, so no net can be called so."
    hint = f"Write the pin, as {part.ref}.{first}, or call the net {part.ref}_NET."
    desk.error("net-is-part", message, word, hint)
    if part.written:
        desk.relate(part.written, f"{part.ref} is this part")


def bind(desk: Desk, pin: Pin, place: Word, target: Word | None = None) -> None:
    """Put a pin on the net that `target` names (`place` itself unless given)."""
    own = desk.joints.pin(pin, place.span)  # first, so that it may name the net
    key = spot(desk, target or place)
    if key is None:
        desk.unbound.add(pin)
    else:
        meet(desk, own, key, place)


def meet(desk: Desk, a: Key, b: Key, place: Word) -> None:
    """Let two pins or nets meet, or ask about the clash."""
    clash = desk.joints.join(a, b)
    if clash:
        _ask_about(desk, clash, place)


def _ask_about(desk: Desk, clash: Clash, place: Word) -> None:
    """Ask whether a bridge was found or the pen slipped."""
    message = f"{clash.pin} is on two nets, {clash.kept} and {clash.other}."
    if clash.pin is None:
        message = f"{clash.kept} and {clash.other} meet here with no part between."
    hint = (
        f"The first, {clash.kept}, is kept. A slip of the pen? If they were found joined, write "
        f"`bridge {clash.kept} {clash.other}`; if they are one net, use one name."
    )
    desk.doubt("pin-on-two-nets", message, place, hint)
    if clash.pin:
        desk.relate(clash.first, f"{clash.pin} is on {clash.kept} here")
