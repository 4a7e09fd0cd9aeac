"""Sister channels: the lines of `channel V like U` written out from those of U."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from itertools import chain
from types import MappingProxyType

from tracegraph.notation.syntax import (
    BreakLine,
    ChainLine,
    LikeLine,
    PartLine,
    RestLine,
    Setting,
    Statement,
    UnpluggedLine,
    UntracedLine,
    Word,
)
from tracegraph.stage.meaning.desk import Desk, ask_meant
from tracegraph.stage.meaning.lines import Line, designators, net_words
from tracegraph.stage.meaning.sister_lines import Names, rename
from tracegraph.stage.stage import Channel

# Lines that say something of a net without using it.
_REMARKS = (BreakLine, RestLine, UnpluggedLine, UntracedLine)
_USUAL_OFFSETS = (100, 10, 20, 30, 40, 50, 200, 300, 400, 500, 1000)


def expand(desk: Desk, lines: list[Line]) -> tuple[list[Line], list[Channel]]:
    """Return all lines with `like` lines written out, and the channels of the file."""
    found: list[Line] = []
    channels: dict[str, Channel] = {}
    for line in lines:
        match line.statement:
            case LikeLine() as like:
                copied = _write_out(desk, like, lines, found)
                if copied:
                    found += copied[0]
                    channels[like.name.text.lower()] = copied[1]
            case _:
                found.append(line)
                if line.channel:
                    plain = Channel(line.channel, span=line.statement.span)
                    channels.setdefault(line.channel.lower(), plain)
    return found, list(channels.values())


def _write_out(
    desk: Desk, like: LikeLine, lines: list[Line], before: list[Line]
) -> tuple[list[Line], Channel] | None:
    """Return the sister's lines and her record; None after saying why there is none."""
    wanted = like.like.text.lower()
    own = [line for line in before if line.channel.lower() == wanted]
    if not own:
        known = {line.channel for line in lines if line.channel}
        message = f"There is no channel {like.like.text} before this line."
        hint = ask_meant(like.like.text, known, "Enclose its lines in channel ... end.")
        desk.error("unknown-channel", message, like.like, hint)
        return None
    others = [line.statement for line in [*before, *lines] if line not in own]
    packages = _packages(line.statement for line in own)
    spoken = _spoken(own, others)
    nets = _private(spoken, others)
    parts, renamed = _settings(desk, like, packages, spoken)
    renamed = _renamed(like, nets) | renamed
    parts = _paired(desk, like, packages, parts, lines)
    names = {old.lower(): new for old, new in {**renamed, **parts}.items()}
    excepts = MappingProxyType(
        {one.ref.text.lower(): one.words for one in like.excepts}
    )
    _ask_excepts(desk, like, parts)
    copies = [
        line._replace(
            statement=statement,
            channel=like.name.text,
            placed=like.span,
            excepts=excepts,
        )
        for line in own
        if (statement := _copied(line.statement, names, packages)) is not None
    ]
    lawful = tuple(one.ref.text for one in like.excepts)
    record = Channel(
        like.name.text,
        own[0].channel,
        MappingProxyType(parts),
        MappingProxyType(renamed),
        lawful,
        like.span,
    )
    return copies, record


def _copied(
    statement: Statement, names: Names, packages: Mapping[str, str]
) -> Statement | None:
    """Return the sister's line; None if it is the same line or a part is unpaired."""
    own = {text.partition(".")[0] for text in designators([statement])}
    if any(one in packages and one not in names for one in own):
        return None
    copied = rename(statement, names)
    return copied if copied != statement else None


def _packages(statements: Iterable[Statement]) -> dict[str, str]:
    """Return the designators of a channel without units, by lower case."""
    found: dict[str, str] = {}
    for statement in statements:
        own = designators([statement])
        for word in _first_words(statement):
            if word.text.lower() in own:
                package = word.text.partition(".")[0]
                found.setdefault(package.lower(), package)
    return found


def _first_words(statement: Statement) -> Iterable[Word]:
    match statement:
        case PartLine(ref=ref):
            return (ref,)
        case ChainLine(steps=steps):
            return tuple(step.words[0] for step in steps)
        case _:
            return ()


def _spoken(own: list[Line], others: list[Statement]) -> dict[str, str]:
    """Return the nets that the channel's lines speak of, by lower case."""
    parts = designators([*(line.statement for line in own), *others])
    found: dict[str, str] = {}
    for word in chain.from_iterable(net_words(line.statement) for line in own):
        text = word.text.lower()
        if text.rpartition(".")[0] not in parts and text not in parts:
            found.setdefault(text, word.text)
    return found


def _private(spoken: Mapping[str, str], others: list[Statement]) -> list[str]:
    """Return the nets that only this channel uses."""
    uses = (line for line in others if not isinstance(line, _REMARKS))
    shared = {word.text.lower() for line in uses for word in net_words(line)}
    return [net for text, net in spoken.items() if text not in shared]


def _renamed(like: LikeLine, nets: Iterable[str]) -> dict[str, str]:
    """Return the sister's names of nets for which no pair was given."""
    old, new = like.like.text, like.name.text
    return {net: sister_net(net, old, new) for net in nets}


def sister_net(net: str, old: str, new: str) -> str:
    """Return a net's name in the sister channel.

    >>> sister_net("U_GATE", "U", "V"), sister_net("GATE", "U", "V")
    ('V_GATE', 'V_GATE')
    """
    words = re.split(r"([^\W_]+)", net)
    if old.lower() not in (word.lower() for word in words):
        return f"{new}_{net}"
    return "".join(new if word.lower() == old.lower() else word for word in words)


def _settings(
    desk: Desk, like: LikeLine, packages: Mapping[str, str], nets: Mapping[str, str]
) -> tuple[dict[str, str], dict[str, str]]:
    """Return the pairs of parts and of nets that were given.

    A net that is also used outside the channel is paired all the same: who writes the
    pair means it.
    """
    parts: dict[str, str] = {}
    pairs: dict[str, str] = {}
    for name, value in like.settings:
        package = name.text.partition(".")[0].lower()
        if package in packages:
            parts[packages[package]] = value.text.partition(".")[0]
        elif name.text.lower() in nets:
            pairs[nets[name.text.lower()]] = value.text
        else:
            _unknown_pair(
                desk, like, Setting(name, value), [*packages.values(), *nets.values()]
            )
    return parts, pairs


def _unknown_pair(desk: Desk, like: LikeLine, pair: Setting, known: list[str]) -> None:
    message = (
        f"Channel {like.like.text} has no part or net {pair.name.text} of its own."
    )
    hint = ask_meant(pair.name.text, known, "Nets used outside the channel are shared.")
    desk.error("unknown-name", message, pair.name, hint)


def _paired(
    desk: Desk,
    like: LikeLine,
    packages: Mapping[str, str],
    given: dict[str, str],
    lines: list[Line],
) -> dict[str, str]:
    """Return every pair of parts; those not given are numbered on, and that is said."""
    missing = [package for package in packages.values() if package not in given]
    if not missing:
        return given
    taken = {
        text.partition(".")[0] for text in designators(one.statement for one in lines)
    }
    taken |= {new.lower() for new in given.values()}
    added = _numbered_on(given, missing, taken)
    names = " ".join(missing)
    if added is None:
        message = (
            f"Channel {like.name.text} does not say which parts pair with {names}."
        )
        hint = "No constant offset fits: write each pair, as R31=R41."
        desk.error("unpaired-parts", message, like.name, hint)
        return given
    pairs = " ".join(f"{old}={new}" for old, new in added.items())
    message = f"Channel {like.name.text}: no pair is given for {names}."
    hint = f"Their numbers fit with {pairs}, which is assumed; write it to say so."
    desk.doubt("offset-assumed", message, like.name, hint)
    return {package: {**given, **added}[package] for package in packages.values()}


def _numbered_on(
    given: Mapping[str, str], missing: list[str], taken: set[str]
) -> dict[str, str] | None:
    """Return pairs at the offset of the given ones, else at a usual one that is free.

    Parts of the same letters go before others: Q31=Q41 says more of Q32 than R1=R9.
    """
    seen = {old: _number(new) - _number(old) for old, new in given.items()}
    usual = Counter(seen.values()).most_common(1)
    for offset in [usual[0][0]] if usual else _USUAL_OFFSETS:
        own = {_letters(old): step for old, step in seen.items()}
        pairs = {one: _moved(one, own.get(_letters(one), offset)) for one in missing}
        if not taken & {new.lower() for new in pairs.values()}:
            return pairs
    return None


def _number(ref: str) -> int:
    digits = re.search(r"\d+$", ref)
    return int(digits[0]) if digits else 0


def _letters(ref: str) -> str:
    return re.sub(r"\d+$", "", ref)


def _moved(ref: str, offset: int) -> str:
    return f"{_letters(ref)}{_number(ref) + offset}"


def _ask_excepts(desk: Desk, like: LikeLine, parts: Mapping[str, str]) -> None:
    known = {new.lower() for new in parts.values()}
    for one in like.excepts:
        if one.ref.text.partition(".")[0].lower() not in known:
            message = f"{one.ref.text} is no part of channel {like.name.text}."
            hint = ask_meant(
                one.ref.text, parts.values(), "Name the copy, not the original."
            )
            desk.error("unknown-part", message, one.ref, hint)
