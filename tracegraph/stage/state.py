"""A declared state put into the parts and rails that it sets."""

from dataclasses import replace

from tracegraph.quantity import Quantity, exact
from tracegraph.stage.alter import apply
from tracegraph.stage.part import Part
from tracegraph.stage.reading import COLD, Condition
from tracegraph.stage.stage import Stage, State

_CONTACTS = {"on": 1.0, "closed": 1.0, "off": 0.0, "open": 0.0}
_SYMBOLS = {"C": "temp", "%": "set", "ohm": "r"}


class StateError(ValueError):
    """No state of that name is declared."""


def find_state(stage: Stage, name: str) -> State:
    """Return the state of that name, in any case.

    Raises:
        StateError: The section declares no such state.
    """
    for state in stage.states:
        if state.name.lower() == name.lower():
            return state
    known = ", ".join(state.name for state in stage.states) or "none"
    raise StateError(f"there is no state {name} in this section; declared: {known}")


def in_state(stage: Stage, name: str) -> Stage:
    """Return the section with a state's contacts, temperatures and rails set.

    The levels of inputs stay readable through `find_state`.

    Raises:
        StateError: The section declares no such state.
    """
    settings = {
        net.lower(): told for net, told in find_state(stage, name).settings.items()
    }
    parts = tuple(_set(part, settings.get(part.ref.lower())) for part in stage.parts)
    rails = tuple(
        rail._replace(volts=told) if isinstance(told, Quantity) else rail
        for rail in stage.rails
        for told in (settings.get(rail.net.lower()),)
    )
    return replace(stage, parts=parts, rails=rails)


def on_bench(stage: Stage, condition: Condition) -> Stage:
    """Return the section as it stood under a condition.

    Nets that were only joined before probing are not joined in it.

    Raises:
        ChangeError: The condition speaks of something that the section lacks.
        StateError: The section declares no such state.
    """
    altered = apply(stage, condition.changes)
    if condition.unplugged:
        out = dict.fromkeys((*altered.unplugged, *condition.unplugged))
        altered = replace(altered, unplugged=tuple(out))
    return altered if condition.power == COLD else in_state(altered, condition.power)


def _set(part: Part, told: str | Quantity | None) -> Part:
    if told is None:
        return part
    if isinstance(told, str):
        return (
            part.with_given("on", exact(_CONTACTS[told], ""))
            if told in _CONTACTS
            else part
        )
    symbol = _SYMBOLS.get(told.unit, "")
    if not part.has(symbol):
        return part
    unit = part.quantity(symbol).unit
    return part.with_given(symbol, replace(told, unit=unit))
