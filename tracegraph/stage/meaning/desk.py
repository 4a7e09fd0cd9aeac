"""The desk on which a section is put together: parts, meeting pins, problems so far."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from tracegraph.diagnostics import Label, Problem, Span, doubt, error
from tracegraph.nearest import nearest
from tracegraph.notation.syntax import Word
from tracegraph.stage.meaning.joints import Joints
from tracegraph.stage.part import Part, Pin


@dataclass
class Desk:
    """What has been understood so far; the only thing here that changes.

    Attributes:
        parts: Parts by designator in lower case, in the order written.
        joints: Which pins and nets meet.
        problems: What was found wrong or doubtful.
        lost: Designators, in lower case, whose line could not be understood; what
            else is said of them is passed over without another message.
        nets: How many words may mean each net, by name in lower case.
        asked: Values that were asked about already.
        untraced: Nets on which more may hang, as written.
        unbound: Pins whose net could not be understood.
    """

    parts: dict[str, Part] = field(default_factory=dict[str, Part])
    joints: Joints = field(default_factory=Joints)
    problems: list[Problem] = field(default_factory=list[Problem])
    lost: set[str] = field(default_factory=set[str])
    nets: Counter[str] = field(default_factory=Counter[str])
    asked: set[str] = field(default_factory=set[str])
    untraced: list[str] = field(default_factory=list[str])
    unbound: set[Pin] = field(default_factory=set[Pin])

    def part(self, ref: str) -> Part | None:
        """Return the part with this designator, or None."""
        return self.parts.get(ref.lower())

    def put(self, part: Part) -> None:
        """Keep a part, in place of an earlier state of it."""
        self.parts[part.ref.lower()] = part

    def error(self, code: str, message: str, word: Word, hint: str = "") -> None:
        """Report something that could not be understood."""
        self.problems.append(error(code, message, word.span, hint))

    def doubt(self, code: str, message: str, word: Word, hint: str = "") -> None:
        """Ask about something that was kept."""
        self.problems.append(doubt(code, message, word.span, hint))

    def relate(self, span: Span, text: str) -> None:
        """Add a second place to the last problem."""
        last = self.problems[-1]
        self.problems[-1] = last._replace(related=(*last.related, Label(span, text)))

    def unit_of(self, package: str) -> list[Part]:
        """Return the units of a package: `U7.A` and `U7.B` for `U7`."""
        wanted = package.lower()
        return [part for part in self.parts.values() if part.package.lower() == wanted]


def ask_meant(text: str, known: Iterable[str], otherwise: str = "") -> str:
    """Return a hint that asks for the word probably meant, else another hint.

    >>> ask_meant("resistr", ["resistor", "zener"])
    'Did you mean resistor?'
    """
    near = nearest(text, known)
    return f"Did you mean {near}?" if near else otherwise
