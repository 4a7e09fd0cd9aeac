"""Part lines and chains: what was traced along the copper."""

from tracegraph.notation.syntax import ChainLine, ChainStep, Ends, PartLine, Word
from tracegraph.notation.words import Branches

_ARROWS = {"TWO_WAY": "--", "ONE_WAY": "->", "BACK": "<-"}


def part(tree: Branches, note: Word | None) -> PartLine:
    """Return a part line: its words sorted by what marks them, in the order written."""
    words = tree.words("WORD", "STRING", "SETTING")
    spoken = next((word for word in words if _says_about(word)), None)
    return PartLine(
        span=tree.span,
        note=note,
        ref=tree.only("REF"),
        words=tuple(word for word in words if word is not spoken),
        ends=ends(next(tree.below("ends"), None)),
        settings=tree.settings(),
        marked=_value(tree, "marked"),
        about=_value(tree, "about") or (_about(spoken) if spoken else None),
        rating=tuple(
            _closed(w) for r in tree.below("rating") for w in r.words("RATED")
        ),
        dot=next((item.only("PLACE") for item in tree.below("dot")), None),
    )


def ends(tree: Branches | None) -> Ends | None:
    """Return `A -- B` or `A -> B`; `B <- A` is the same the other way round."""
    if tree is None:
        return None
    left, right = tree.only("LEFT"), tree.only("PLACE")
    if tree.word("BACK"):
        return Ends(right, arrow=True, right=left)
    return Ends(left, tree.word("ONE_WAY") is not None, right)


def _closed(word: Word) -> Word:
    """Return a word without the blank inside it: `600 V`."""
    return word._replace(text="".join(word.text.split()))


def _value(tree: Branches, name: str) -> Word | None:
    """Return what follows `marked` or `about`."""
    for item in tree.below(name):
        return item.word("STRING") or next(item.below("amount")).only()
    return None


def _says_about(word: Word) -> bool:
    return word.quoted and word.text.lower().startswith("about ")


def _about(word: Word) -> Word:
    """Return the value of `"about 22R"`."""
    value = word.text[len("about ") :].strip()
    start = word.span.column + 1 + word.text.index(value, len("about "))
    return Word(value, word.span._replace(column=start, end=start + len(value)))


def chain(tree: Branches, note: Word | None) -> ChainLine:
    """Return a chain: its stations, each with the arrow to the next one."""
    arrows = [_ARROWS[token.type] for token in tree.tokens(*_ARROWS)]
    steps = tuple(
        ChainStep(station.words(), station.settings(), arrow)
        for station, arrow in zip(tree.below("step"), [*arrows, ""], strict=True)
    )
    return ChainLine(tree.span, note, steps)
