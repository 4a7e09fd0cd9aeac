"""A part as its line: designator, kind, value, pins, what else is known of it."""

from collections.abc import Mapping
from typing import NamedTuple

from tracegraph.marking import parse_value
from tracegraph.stage.kind import Form
from tracegraph.stage.kinds import kind_of_letters
from tracegraph.stage.kinds.clamp import TWO_WAY
from tracegraph.stage.meaning.pinout import USUAL_PINOUT
from tracegraph.stage.meaning.values import is_amount
from tracegraph.stage.part import Part, Pin, Status
from tracegraph.stage.stage import Stage
from tracegraph.stage.writing.amounts import setting_words, value_words


class Places(NamedTuple):
    """Where pins are written to go.

    Attributes:
        nets: Pins by net, as the stage has them.
        parted: Nets of pins that were found parted from them.
    """

    nets: Mapping[str, tuple[Pin, ...]]
    parted: Mapping[Pin, str]

    def of(self, pin: Pin, net: str) -> str:
        """Return what to write for a pin: its net, or another pin of an unnamed one."""
        if pin in self.parted:
            return self.parted[pin]
        if net != str(pin):
            return net
        return next((str(one) for one in self.nets.get(net, ()) if one != pin), net)


def places(stage: Stage) -> Places:
    """Return where the pins of a section are written to go."""
    return Places(stage.nets, {one.pin: one.net for one in stage.breaks})


def part_line(part: Part, where: Places) -> str:
    """Return the line of a part."""
    nets = {
        name: where.of(Pin(part.ref, name), net)
        for name, net in part.pins.items()
        if name not in part.untraced
    }
    ends = _ends(part, nets)
    pins = [ends] if ends else _pins(part, nets)
    words = [part.ref, *kind_words(part, ends), *value_words(part), *status_words(part)]
    return " ".join(
        (*words, *pins, *setting_words(part), *_dot(part, nets), *_note(part))
    )


def kind_words(part: Part, ends: str) -> list[str]:
    """Return kind, form, type number and unknown pinout as words."""
    usual = kind_of_letters(part.ref)
    words = [] if usual is part.kind else [part.kind.word]
    words += [
        word
        for word in sorted(part.variant)
        if word in part.kind.variants and not (word == TWO_WAY and ends)
    ]
    words += [f'"{part.type_number}"'] if part.type_number else []
    return [*words, *(["?"] if _unknown_pinout(part) else [])]


def status_words(part: Part) -> list[str]:
    """Return what happened to the part as words."""
    words = [] if part.status is Status.FITTED else [part.status.value]
    return [*words, *(["burnt"] if part.burnt else [])]


def _unknown_pinout(part: Part) -> bool:
    """Return whether `?` says that the pinout is unknown; an arrow left out does too."""
    return not part.pinout and part.kind.form is Form.PINS


def _ends(part: Part, nets: Mapping[str, str]) -> str:
    """Return `A -- B` or `A -> B` for a part of two ends that both are known."""
    names = [spec.name for spec in part.kind.pins]
    if len(names) != 2 or part.kind.form is Form.PINS or set(nets) != set(names):
        return ""
    directed = part.kind.form is Form.ONE_WAY and part.pinout
    either = TWO_WAY in part.kind.variants and TWO_WAY not in part.variant
    arrow = "->" if directed or either else "--"
    return f"{nets[names[0]]} {arrow} {nets[names[1]]}"


def _pins(part: Part, nets: Mapping[str, str]) -> list[str]:
    return [f"{_pin_name(part, name, net)}={net}" for name, net in nets.items()]


def _pin_name(part: Part, name: str, net: str) -> str:
    """Return a pin's name as it is read back: by number, by role and number, quoted."""
    number = part.numbers.get(name)
    if not part.pinout:
        return number or name
    if number:
        return number if USUAL_PINOUT in part.variant else f"{name}/{number}"
    parameter = part.kind.parameters.get(name.lower())
    unlucky = parameter and parse_value(net, parameter.quantity.unit)
    return (
        f'"{name}"'
        if unlucky or "/" in name or (is_amount(name) and "." in name)
        else name
    )


def _dot(part: Part, nets: Mapping[str, str]) -> list[str]:
    dotted = [word.split()[1] for word in part.variant if word.startswith("dot ")]
    return [f"dot {nets[name]}" for name in dotted if name in nets]


def _note(part: Part) -> list[str]:
    return [f'note "{part.note}"'] if part.note else []
