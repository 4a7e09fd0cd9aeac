"""A Stage as plain data without its places, for comparing what was understood."""

from collections.abc import Mapping
from dataclasses import fields, is_dataclass

from tracegraph.diagnostics import Span
from tracegraph.stage.kind import Kind
from tracegraph.stage.stage import Stage

_IGNORED = frozenset({"problems", "source"})


def plain(thing: object) -> object:
    """Return nested records as dicts and lists, spans and functions left out."""
    if isinstance(thing, Span):
        return None
    if isinstance(thing, Kind):
        return thing.word
    if is_dataclass(thing):
        named = ((f.name, getattr(thing, f.name)) for f in fields(thing))
        return {name: plain(value) for name, value in named if name not in _IGNORED}
    if isinstance(thing, Mapping):
        return {key: plain(value) for key, value in thing.items()}
    if isinstance(thing, tuple | list):
        return [plain(value) for value in thing]
    return thing


def understood(stage: Stage) -> dict[str, object]:
    """Return all that a section says, its lines of one sort in no order but the log's."""
    told = plain(stage)
    assert isinstance(told, dict)
    return {
        name: sorted(value, key=repr)
        if isinstance(value, list) and name != "log"
        else value
        for name, value in told.items()
    }
