"""Which pin is which: names, numbers, and the usual pinout where it is assumed."""

from dataclasses import replace

from tracegraph.marking import parse_any, parse_value
from tracegraph.nearest import nearest
from tracegraph.notation.syntax import Setting, Word
from tracegraph.stage.kind import Form, Kind, a
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.values import is_amount
from tracegraph.stage.meaning.wording import Gathered, Wording
from tracegraph.stage.part import Part

USUAL_PINOUT = "usual pinout"
"""Among a part's variants: its pins were given by number, and the rest assumed."""


def is_parameter(kind: Kind, setting: Setting) -> bool:
    """Return whether `name=value` is a data-sheet parameter and no pin."""
    name = setting.name
    if name.quoted or name.text.lower() not in kind.parameters:
        return False
    unit = kind.parameters[name.text.lower()].quantity.unit
    value = setting.value.text
    return value == "?" or parse_value(value, unit) is not None


def looks_like_parameter(part: Part, setting: Setting) -> bool:
    """Return whether a pin of an open part is rather a parameter with a slip in it."""
    name = setting.name.text
    if setting.name.quoted or part.leg(name) or not part.kind.open_pins:
        return False
    amount = parse_any(setting.value.text)
    unit = amount is not None and (amount.unit or setting.value.text.endswith("%"))
    return bool(unit and nearest(name, part.kind.parameters))


def split_pin(name: Word) -> tuple[str, str]:
    """Return name and number of a pin: `out/1` is out and 1, `3` is only a number."""
    role, slash, number = name.text.rpartition("/")
    if name.quoted or not (slash and role):
        return name.text, ""
    return (number, role) if role.isdigit() and not number.isdigit() else (role, number)


def settle_pinout(desk: Desk, wording: Wording, gathered: Gathered) -> None:
    """Ask where a line does not tell which pin is which; all orders stay possible."""
    kind, ref = gathered.kind, wording.ref
    if kind.form is Form.ONE_WAY and wording.arrow is False:
        first, second = (spec.role or spec.name for spec in kind.pins[:2])
        message = f"{ref.text} works one way only, and the line does not say which."
        hint = f"Write {first} -> {second}. Until then both ways are reckoned with."
        desk.doubt("arrow-missing", message, ref, hint)
    elif gathered.part.pinout and _only_numbers(kind, wording.settings):
        names = ", ".join(spec.role or spec.name for spec in kind.pins)
        message = f"{ref.text}: numbers alone do not tell {names}."
        hint = "Write b/1=NET and so on. Until then all orders are reckoned with."
        desk.doubt("pinout-unknown", message, ref, hint)
    else:
        return
    gathered.part = replace(gathered.part, pinout=False)


def _only_numbers(kind: Kind, settings: tuple[Setting, ...]) -> bool:
    """Return whether pins are numbers only, and the kind has no usual numbers."""
    pins = [one.name.text for one in settings if not is_parameter(kind, one)]
    foreign = all(name.isdigit() and kind.pin(name) is None for name in pins)
    return bool(pins) and foreign and bool(kind.pins) and not kind.open_pins


def numbers(gathered: Gathered, settings: tuple[Setting, ...]) -> dict[str, str]:
    """Return the numbers written for pins, by canonical name.

    Where the pinout is unknown, what is written names the pins in the kind's order.
    """
    kind, found = gathered.kind, dict[str, str]()
    pins = [split_pin(one.name) for one in settings if not is_parameter(kind, one)]
    if not gathered.part.pinout:
        written = [number or name for name, number in pins]
        names = [spec.name for spec in kind.pins]
        return dict(zip(names, written, strict=False))
    for name, number in pins:
        spec = kind.pin(name)
        if number:
            found[spec.name if spec else name] = number
        elif spec and name == spec.number != spec.name:
            found[spec.name] = name
    return found


def with_usual_pinout(desk: Desk, part: Part, wording: Wording) -> Part:
    """Return the part; say which pin each number was taken for where no role is."""
    pins = [one.name for one in wording.settings if not is_parameter(part.kind, one)]
    specs = [spec for spec in part.kind.pins if spec.number in part.numbers.values()]
    if not part.pinout or len(specs) < 3 or not all(one.text.isdigit() for one in pins):
        return part
    taken = ", ".join(f"{spec.number} {spec.role or spec.name}" for spec in specs)
    message = f"{part.ref}: the usual pinout is assumed: {taken}."
    hint = f"Check the data sheet; say so with {specs[0].name}/{specs[0].number}=NET."
    desk.doubt("usual-pinout", message, wording.ref, hint)
    return replace(part, variant=part.variant | {USUAL_PINOUT})


def refuse_setting(desk: Desk, part: Part, setting: Setting) -> None:
    """Say that `name=value` is neither a pin nor a parameter of this kind."""
    name, kind = setting.name.text, part.kind
    pins = [text for spec in kind.pins for text in (spec.name, *spec.aliases)]
    amount = is_amount(setting.value.text) or setting.value.text == "?"
    if name.lower() in kind.parameters:
        unit = kind.parameters[name.lower()].quantity.unit
        message = f"{part.ref}: {setting.value.text} is no value for {name}."
        hint = f"It is given in {unit}." if unit else "It is a plain number."
        desk.error("no-value", message, setting.value, hint)
    elif amount:
        message = f"{part.ref} is {a(kind.title)}: it has no parameter {name}."
        usual = f"It has {', '.join(kind.parameters)}." if kind.parameters else ""
        hint = ask_meant(name, kind.parameters, usual)
        desk.error("unknown-parameter", message, setting.name, hint)
    else:
        message = f"{part.ref} is {a(kind.title)}: it has no pin {name}."
        listed = f"Its pins are {', '.join(spec.name for spec in kind.pins)}."
        desk.error("unknown-pin", message, setting.name, ask_meant(name, pins, listed))
