"""Words out of a line that was read: their text as written, and their place."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from lark import Token, Tree

from tracegraph.diagnostics import Span
from tracegraph.notation.grammar import reader
from tracegraph.notation.lines import Line
from tracegraph.notation.syntax import Setting, Word

Child = Token | Tree[Token]

_PREFIXES = ("", "k", "m", "u", "µ", "n", "p")
_BASES = ("v", "a", "w", "h", "f", "s", "c", "Ω", "hz", "ohm", "ohms")
_NAMES = frozenset(("PLACE", "LOOSE", "REF"))  # two nets 5 and V are no 5 V
UNITS = frozenset(
    ("%", "r", *filter(None, _PREFIXES), *(p + b for p in _PREFIXES for b in _BASES))
)


def branches(line: Line, start: str = "line") -> "Branches":
    """Return a line as the grammar reads it, beginning with the rule `start`.

    Raises:
        UnexpectedInput: The line has no shape that the grammar knows.
    """
    return Branches(line, reader().parse(line.plain, start))


class Branches(NamedTuple):
    """A part of a line that was read: its name in the grammar, its place, its parts."""

    line: Line
    tree: Tree[Token]

    @property
    def name(self) -> str:
        """The rule's name."""
        return str(self.tree.data)

    @property
    def span(self) -> Span:
        """The place, from its first to its last character."""
        meta = self.tree.meta
        return self.line.span(meta.start_pos, meta.end_pos)

    def tokens(self, *types: str) -> Iterator[Token]:
        """Yield the plain words of these types (all, where none is given), in order."""
        for child in self.tree.children:
            if isinstance(child, Token) and (not types or child.type in types):
                yield child

    def words(self, *types: str) -> tuple[Word, ...]:
        """Return the words, numbers joined with their units, settings left out."""
        return tuple(w for w in self._joined(types) if isinstance(w, Word))

    def settings(self) -> tuple[Setting, ...]:
        """Return the settings, numbers joined with their units."""
        return tuple(s for s in self._joined(()) if isinstance(s, Setting))

    def all_words(self, *types: str) -> tuple[Word, ...]:
        """Return the words as `words` does, a setting as one word of its own."""
        return tuple(
            item if isinstance(item, Word) else _one_word(item)
            for item in self._joined(types)
        )

    def word(self, *types: str) -> Word | None:
        """Return the first word of these types, or None."""
        return next(iter(self.words(*types)), None)

    def only(self, *types: str) -> Word:
        """Return the one word of these types that the grammar says is there."""
        return self.words(*types)[0]

    def _joined(self, types: tuple[str, ...]) -> Iterator[Word | Setting]:
        words = (said(self.line, token) for token in self.tokens(*types))
        return words if _NAMES.intersection(types) else joined(words)

    def deep(self, *names: str) -> "Iterator[Branches]":
        """Yield the parts with these names, however deep, in the order written."""
        if self.tree.data in names:
            yield self
        for child in self.tree.children:
            if isinstance(child, Tree):
                yield from Branches(self.line, child).deep(*names)

    def below(self, *names: str) -> "Iterator[Branches]":
        """Yield the parts with these names, in order."""
        for child in self.tree.children:
            if isinstance(child, Tree) and child.data in names:
                yield Branches(self.line, child)


def plain_word(line: Line, token: Token) -> Word:
    """Return a word as it was written, quoted text without its quotes."""
    return _part(line, token.start_pos or 0, token.end_pos or 0)


def said(line: Line, token: Token) -> Word | Setting:
    """Return a word or setting as it was written."""
    if token.type != "SETTING":
        return plain_word(line, token)
    start, end = token.start_pos or 0, token.end_pos or 0
    middle = start + _equals(line.plain[start:end])
    return Setting(_part(line, start, middle), _part(line, middle + 1, end))


def _one_word(setting: Setting) -> Word:
    name, value = setting
    place = name.span._replace(end=value.span.end)
    return Word(f"{name.text}={value.text}", place)


def _equals(plain: str) -> int:
    """Return where the `=` stands; one inside the quotes of a name is not it."""
    return plain.index("=", plain.index('"', 1) if plain.startswith('"') else 0)


def _part(line: Line, start: int, end: int) -> Word:
    """Return the word between two places, without blanks or quotes round it."""
    plain = line.plain[start:end]
    start += len(plain) - len(plain.lstrip())
    end -= len(plain) - len(plain.rstrip())
    quoted = line.plain[start] == '"'
    text = line.text[start + quoted : end - quoted]
    return Word(text, line.span(start, end), quoted)


def joined(words: Iterable[Word | Setting]) -> Iterator[Word | Setting]:
    """Yield words, with a unit that stands apart joined to its number: `470 k`."""
    before: Word | Setting | None = None
    for word in words:
        whole = _whole(before, word) if before else None
        if before and not whole:
            yield before
        before = whole or word
    if before:
        yield before


def _whole(number: Word | Setting, unit: Word | Setting) -> Word | Setting | None:
    """Return a number joined with the unit behind it, or None if they are not that."""
    if isinstance(number, Setting):
        value = _whole(number.value, unit)
        return number._replace(value=value) if isinstance(value, Word) else None
    if isinstance(unit, Setting) or not (is_number(number) and is_unit(unit)):
        return None
    place = Span(number.span.line, number.span.column, unit.span.end)
    return Word(number.text + unit.text, place)


def is_number(word: Word) -> bool:
    """Whether a word is a number without a unit."""
    digits = word.text.lstrip("+-").replace(".", "").replace(",", "")
    return not word.quoted and digits.isascii() and digits.isdigit()


def is_unit(word: Word) -> bool:
    """Whether a word is a unit, or a multiplier, and nothing else."""
    plain = word.text.lower().replace("ω", "Ω").replace("\u03bc", "µ")
    return not word.quoted and plain in UNITS
