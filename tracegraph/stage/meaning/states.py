"""Named states: what is set where when the section runs."""

from collections.abc import Mapping
from types import MappingProxyType

from tracegraph.marking import parse_value
from tracegraph.notation.syntax import Setting, StateLine
from tracegraph.quantity import Quantity, exact
from tracegraph.stage.kind import a
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.lines import Line
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage, State

LEVELS = frozenset({"low", "high"})
CONTACTS = frozenset({"on", "off", "open", "closed"})
# What a state may set on a part: the unit, and the parameter that it sets.
SETTABLE = MappingProxyType({"temp": "C", "set": "%", "r": "ohm"})


def read_states(desk: Desk, stage: Stage, lines: list[Line]) -> tuple[State, ...]:
    """Return the states that the file names."""
    found: dict[str, State] = {}
    for line in lines:
        state = line.statement
        if not isinstance(state, StateLine):
            continue
        name = state.name
        if name.text.lower() in found:
            message = f"The state {name.text} is named twice; the first is kept."
            desk.error("state-twice", message, name)
            continue
        found[name.text.lower()] = State(
            name.text, _settings(desk, stage, state), state.span
        )
    return tuple(found.values())


def _settings(
    desk: Desk, stage: Stage, state: StateLine
) -> Mapping[str, str | Quantity]:
    """Return what a state sets; a thing set twice is asked about, the first is kept."""
    found: dict[str, str | Quantity] = {}
    for one in state.settings:
        pair = _setting(desk, stage, one)
        if pair is None:
            continue
        name, told = pair
        if found.setdefault(name, told) != told:
            first = next(
                s for s in state.settings if s.name.text.lower() == name.lower()
            )
            message = f"{name} is set to {first.value.text} and to {one.value.text}."
            hint = "Two states? Give each a line and a name of its own."
            desk.error("set-twice", message, one.value, hint)
    return MappingProxyType(found)


def _setting(
    desk: Desk, stage: Stage, setting: Setting
) -> tuple[str, str | Quantity] | None:
    """Return the name as first written and what it is set to."""
    part = stage.part(setting.name.text)
    net = None if part else stage.net(setting.name.text)
    if part is None and net is None:
        if setting.name.text.lower() not in desk.lost:
            known = [*stage.nets, *(one.ref for one in stage.parts)]
            message = f"There is no net or part {setting.name.text} to set."
            hint = ask_meant(setting.name.text, known)
            desk.error("unknown-name", message, setting.name, hint)
        return None
    value = _of_part(part, setting) if part else _of_net(setting)
    if value is None:
        _refuse(desk, setting, part)
        return None
    if net is not None and not _driven(desk, stage, setting, net, value):
        return None
    return (part.ref if part else str(net)), value


def _driven(
    desk: Desk, stage: Stage, setting: Setting, net: str, value: str | Quantity
) -> bool:
    """Return whether something stands behind a net that can be set so; else say it."""
    inputs, rails = ({one.net for one in some} for some in (stage.inputs, stage.rails))
    if net in inputs or (net in rails and isinstance(value, Quantity)):
        return True
    name = setting.name.text
    if net in rails:
        message = f"{name} is a rail: it has volts, not low and high."
        hint = f"Write: {name}=12V"
        desk.error("rail-level", message, setting.value, hint)
        return False
    message = f"Nothing drives {name}: a state sets inputs, rails and parts."
    hint = f"If a controller drives it, write: input {name} 0V / 5V via 1k"
    desk.error("not-driven", message, setting.name, hint)
    return False


def _of_net(setting: Setting) -> str | Quantity | None:
    text = setting.value.text.lower()
    value = parse_value(text, "V")
    return text if text in LEVELS else exact(value.number, "V") if value else None


def _of_part(part: Part, setting: Setting) -> str | Quantity | None:
    text = setting.value.text
    if part.has("on") and text.lower() in CONTACTS:
        return text.lower()
    for symbol, unit in SETTABLE.items():
        value = parse_value(text, unit) if part.has(symbol) else None
        if value:
            return exact(value.number, unit)
    return None


def _refuse(desk: Desk, setting: Setting, part: Part | None) -> None:
    if part is None:
        hint = "A net is set to low, high or volts."
    elif part.has("on"):
        hint = "Contacts are set to on, off, open or closed."
    else:
        hint = f"No state can set {a(part.kind.title)}."
    message = f"{setting.name.text} cannot be {setting.value.text}."
    desk.error("odd-setting", message, setting.value, hint)
