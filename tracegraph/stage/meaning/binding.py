"""A pin put on a net, and the question where two lines disagree about it."""

from tracegraph.notation.syntax import Word
from tracegraph.stage.meaning.desk import Desk
from tracegraph.stage.meaning.joints import Clash, Key
from tracegraph.stage.meaning.names import spot
from tracegraph.stage.part import Pin


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
