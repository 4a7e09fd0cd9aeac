"""Which words of a line name its kind, and which choose a form of it."""

import re
from collections.abc import Iterable
from functools import cache

from tracegraph.nearest import nearest
from tracegraph.notation.syntax import Word
from tracegraph.stage.kind import Kind
from tracegraph.stage.kinds import KINDS, find_kind

_EITHER = {  # words of the trade that leave the polarity open
    "mosfet": "nfet or pfet",
    "fet": "nfet or pfet",
    "transistor": "npn or pnp",
    "bjt": "npn or pnp",
    "nnp": "npn or pnp",
}
_LETTERS = re.compile(r"[^\W\d_]{4,}(-[^\W\d_]+)*")


def choose_kind(words: tuple[Word, ...]) -> tuple[Kind | None, list[Word]]:
    """Return the kind that the words name, and the words that are left."""
    for length in (3, 2, 1):
        for start in range(len(words) - length + 1):
            run = words[start : start + length]
            if any(word.quoted for word in run):
                continue
            kind = _kind_of([word.text for word in run])
            if kind:
                return kind, [*words[:start], *words[start + length :]]
    return None, list(words)


def _kind_of(texts: list[str]) -> Kind | None:
    joined = (" ".join(texts), "-".join(texts), "".join(texts))
    return next((kind for text in joined if (kind := find_kind(text))), None)


def misspelt_kind(words: Iterable[Word]) -> tuple[Word, str] | None:
    """Return a word that is nearly a kind's, and that kind's word; None if there is none."""
    for word in words:
        if not word.quoted and word.text.lower() in _EITHER:
            return word, _EITHER[word.text.lower()]
        plain = not word.quoted and _LETTERS.fullmatch(word.text)
        near = nearest(word.text, _known(), cutoff=0.75) if plain else ""
        if near:
            return word, near
    return None


@cache
def _known() -> tuple[str, ...]:
    return tuple(text for kind in KINDS.values() for text in spellings(kind))


def spellings(kind: Kind) -> tuple[str, ...]:
    """Return a kind's word and its aliases."""
    return (kind.word, *kind.aliases)


def settle_variants(
    kind: Kind, words: list[Word]
) -> tuple[Kind, frozenset[str], list[Word]]:
    """Return the kind as its variant words make it, those kept, and what is left."""
    kept: set[str] = set()
    start = 0
    while start < len(words):
        for length in (2, 1):
            run = words[start : start + length]
            text = " ".join(word.text.lower() for word in run)
            if text in kind.variants and not any(word.quoted for word in run):
                other = kind.variants[text]
                if other == kind.word:
                    kept.add(text)
                kind = KINDS[other]
                del words[start : start + length]
                break
        else:
            start += 1
    return kind, frozenset(kept), words
