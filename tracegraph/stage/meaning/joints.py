"""Which pins meet: nets as disjoint sets that never merge two names unasked."""

from dataclasses import dataclass, field
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.stage.part import Pin


class Clash(NamedTuple):
    """A pin that two lines put on two nets; the first one holds.

    Attributes:
        pin: The pin, or None where two nets met without a pin between them.
        kept: Net that the pin stays on.
        other: Net that the later line puts it on.
        first: Where the pin was first placed.
    """

    pin: Pin | None
    kept: str
    other: str
    first: Span


Key = Pin | str  # a pin, or a net's name in lower case


@dataclass
class Joints:
    """Pins and net names that were said to meet, in the order of saying.

    Designators and pin names are expected as first written, so that equal pins are
    equal keys; net names are matched in any case.
    """

    _above: dict[Key, Key] = field(default_factory=dict[Key, Key])
    _names: dict[Key, str] = field(default_factory=dict[Key, str])
    _places: dict[Key, Span] = field(default_factory=dict[Key, Span])

    def net(self, name: str, span: Span) -> Key:
        """Return the key of a named net, remembering how it was first written."""
        key = name.lower()
        if key not in self._above:
            self._above[key] = key
            self._names[key] = name
            self._places[key] = span
        return key

    def pin(self, pin: Pin, span: Span) -> Key:
        """Return the key of a pin, remembering where it was first placed."""
        if pin not in self._above:
            self._above[pin] = pin
            self._places[pin] = span
        return pin

    def join(self, a: Key, b: Key) -> Clash | None:
        """Let two keys meet; return the clash instead where both have other names."""
        root, other = self._root(a), self._root(b)
        if root == other:
            return None
        if root in self._names and other in self._names:
            return self._clash(a, b)
        if root not in self._names:
            root, other = other, root
        self._above[other] = root
        return None

    def _clash(self, a: Key, b: Key) -> Clash:
        pin = next((key for key in (a, b) if isinstance(key, Pin)), None)
        kept, other = self._names[self._root(a)], self._names[self._root(b)]
        return Clash(pin, kept, other, self._places[a])

    def _root(self, key: Key) -> Key:
        while self._above[key] != key:
            self._above[key] = self._above[self._above[key]]
            key = self._above[key]
        return key

    def __contains__(self, pin: Pin) -> bool:
        """Return whether any line has placed this pin."""
        return pin in self._above

    def place(self, pin: Pin) -> Span:
        """Return where a pin was first placed."""
        return self._places[pin]

    def names(self) -> dict[Pin, str]:
        """Return the net of every placed pin; unnamed nets take their first pin."""
        found: dict[Pin, str] = {}
        first: dict[Key, str] = {}
        for key in self._above:
            if isinstance(key, Pin):
                root = self._root(key)
                name = self._names.get(root) or first.setdefault(root, str(key))
                found[key] = name
        return found

    def same(self, a: Key, b: Key) -> bool:
        """Return whether two keys have met."""
        return self._root(a) == self._root(b)

    def name(self, key: Key) -> str:
        """Return the name of a net by its key."""
        return self._names[self._root(key)]
