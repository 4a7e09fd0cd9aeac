"""What a line says of a part, before and after its words have been read."""

from dataclasses import dataclass, field
from typing import NamedTuple

from tracegraph.diagnostics import Span
from tracegraph.marking import Value
from tracegraph.notation.syntax import Setting, Word
from tracegraph.quantity import Quantity
from tracegraph.stage.kind import Kind
from tracegraph.stage.part import Part


class Wording(NamedTuple):
    """All that a line says of a part besides where its ends go.

    Attributes:
        ref: Its designator.
        words: Bare and quoted words.
        settings: `name=value`, pins and parameters alike.
        marked: What follows `marked`.
        about: What follows `about`.
        rating: Words after `rating`.
        arrow: Whether its ends were written with an arrow; None if it has no ends.
        instead: Words of a `like` line that stand instead of the others.
        note: A remark at the end of the line.
        channel: Sister channel it stands in.
        placed: Where it was placed.
    """

    ref: Word
    words: tuple[Word, ...]
    settings: tuple[Setting, ...] = ()
    marked: Word | None = None
    about: Word | None = None
    rating: tuple[Word, ...] = ()
    arrow: bool | None = None
    instead: tuple[Word, ...] = ()
    note: str = ""
    channel: str = ""
    placed: Span | None = None


@dataclass
class Gathered:
    """What the words of one part say, as far as they have been read.

    Attributes:
        kind: The part's kind.
        ref: Its designator, for messages.
        part: Its record, filled as words are read.
        value: Its value as written, with the word.
        tolerance: A tolerance written beside the value.
        unreadable: Whether `?` stands for the value.
        overridden: Whether the first words stand instead of later ones.
        given: Quantities by symbol.
    """

    kind: Kind
    ref: str
    part: Part
    value: tuple[Value, Word] | None = None
    tolerance: float | None = None
    unreadable: bool = False
    overridden: bool = False
    given: dict[str, Quantity] = field(default_factory=dict[str, Quantity])
