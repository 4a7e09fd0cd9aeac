"""What a comparison tells: which part is which, and every difference.

A comparison tells how the traced section came from the reference: the changes of its
differences, applied to the reference, lead towards the traced section.
"""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.stage.change import Change


class DifferenceKind(StrEnum):
    """The ways in which a traced section may differ from its reference."""

    ABSENT = "absent"
    EXTRA = "extra"
    VALUE = "value"
    KIND = "kind"
    REVERSED = "reversed"
    SWAPPED = "swapped"
    BRIDGED = "bridged"
    BROKEN = "broken"
    MOVED = "moved"
    MISREAD = "misread"
    UNKNOWN = "unknown"  # not comparable yet


class Difference(NamedTuple):
    """One difference: one single step from the reference to the traced section.

    Attributes:
        kind: What it is.
        changes: What it does to the reference, in the reference's names; none where
            nothing is known to differ (`misread`, `unknown`) or nothing that the
            reference has. They can be made one after the other, and each alone but
            for what hangs on an extra part.
        words: It in the trade's words, one line.
        traced: The part, or the nets (`GATE DRV`), in the traced section; or empty.
        reference: The same in the reference, or empty.
        traced_span: Where the traced section says it, or None.
        reference_span: Where the reference says it, or None.
        lawful: Whether the file declares that it differs on purpose.
    """

    kind: DifferenceKind
    changes: tuple[Change, ...]
    words: str
    traced: str = ""
    reference: str = ""
    traced_span: Span | None = None
    reference_span: Span | None = None
    lawful: bool = False


class Comparison(NamedTuple):
    """A traced section beside its reference.

    Attributes:
        traced_title: Title of the traced section, or empty.
        reference_title: Title of the reference, or empty.
        parts: Matched parts, reference to traced designator.
        nets: Matched nets, reference to traced name.
        differences: A least explanation: what differs, in the reference's order;
            lawful ones, remarks and what is not comparable yet stand among them.
        ties: Other explanations of the same cost, each complete.
        more_ties: Whether there are still more of them than are told.
        cost: Cost of the explanation in single steps; lawful differences and what is
            not comparable yet cost nothing.
        similarity: Parts matched, less what their differences cost, over the parts
            of the larger section: 0 to 1.
        equal_matches: Sentences, where several matches are equally good.
        same_section: False where they have too little in common to be compared.
    """

    traced_title: str = ""
    reference_title: str = ""
    parts: Mapping[str, str] = MappingProxyType({})
    nets: Mapping[str, str] = MappingProxyType({})
    differences: tuple[Difference, ...] = ()
    ties: tuple[tuple[Difference, ...], ...] = ()
    more_ties: bool = False
    cost: float = 0.0
    similarity: float = 1.0
    equal_matches: tuple[str, ...] = ()
    same_section: bool = True

    @property
    def equal(self) -> bool:
        """Whether nothing differs but what is lawful, misread or not comparable."""
        silent = {DifferenceKind.MISREAD, DifferenceKind.UNKNOWN}
        return self.same_section and all(
            one.lawful or one.kind in silent for one in self.differences
        )
