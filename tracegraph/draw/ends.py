"""Why a net ends in a symbol of its own: driven from outside, open, on another sheet."""

from collections.abc import Iterator
from typing import NamedTuple

from tracegraph.draw.drawing import PortForm
from tracegraph.draw.items import Section


class Ending(NamedTuple):
    """One reason for a net to have a symbol of its own.

    Attributes:
        form: Which.
        why: In words.
        told: What is written in the symbol.
    """

    form: PortForm
    why: str
    told: str


def endings(section: Section, net: str) -> Iterator[Ending]:
    """Yield every reason for a net of the sheet to have a symbol of its own."""
    if any(source.net == net for source in section.stage.inputs):
        why = f"input {net}: a controller drives it when powered"
        yield Ending(PortForm.INPUT, why, net)
    state = section.open_nets.get(net)
    if state:
        form = PortForm(state)
        yield Ending(form, _open(form, net), net if net in section.named else "")
    sheets = section.beyond.get(net, ())
    if sheets:
        where = ", ".join(str(number) for number in sheets)
        why = f"net {net} goes on on sheet {where}"
        yield Ending(PortForm.SHEET, why, f"{net} → {where}")


def _open(form: PortForm, net: str) -> str:
    if form is PortForm.UNTRACED:
        return f"net {net} is not traced to its end: more may hang on it"
    return f"net {net}: its plug is out"
