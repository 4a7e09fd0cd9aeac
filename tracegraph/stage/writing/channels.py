"""Sister channels as lines: `channel U ... end`, and `channel V like U`."""

from collections.abc import Iterable, Mapping

from tracegraph.stage.meaning.channels import sister_net
from tracegraph.stage.meaning.sister_lines import new_name
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Channel, Stage
from tracegraph.stage.writing.amounts import value_words
from tracegraph.stage.writing.parts import status_words
from tracegraph.stage.writing.records import Told


def like_line(stage: Stage, channel: Channel) -> str:
    """Return `channel V like U` with its pairs and lawful differences."""
    default = {net: sister_net(net, channel.like, channel.name) for net in channel.nets}
    pairs = [f"{old}={new}" for old, new in channel.parts.items()]
    pairs += [f"{a}={b}" for a, b in channel.nets.items() if b != default[a]]
    words = [f"channel {channel.name} like {channel.like}", *pairs]
    back = {new.lower(): old for old, new in names_of(channel).items()}
    excepts = [_except(stage, ref, new_name(ref, back)) for ref in channel.lawful]
    tail = [f"except {', '.join(excepts)}"] if excepts else []
    return " ".join((*words, *tail))


def names_of(channel: Channel) -> dict[str, str]:
    """Return old to new name of every part and private net of a like channel."""
    return {old.lower(): new for old, new in {**channel.nets, **channel.parts}.items()}


def places_of(stage: Stage, told: Iterable[Told]) -> dict[Told, str | None]:
    """Return in which channel each line stands: empty is none, None is a copy's.

    A line stands inside a channel if every sister has the same line under her own
    names; those lines come by themselves and are not written.
    """
    lines = list(told)
    by_names = {(one.sort, one.names): one for one in lines}
    found: dict[Told, str | None] = dict.fromkeys(lines, "")
    for name in dict.fromkeys(one.like for one in stage.channels if one.like):
        sisters = [one for one in stage.channels if one.like == name]
        for one in lines:
            images = [_image(one, names_of(sister)) for sister in sisters]
            if all(image in by_names and image[1] != one.names for image in images):
                found[one] = name
                found |= {by_names[image]: None for image in images}
    return found


def _image(told: Told, names: Mapping[str, str]) -> tuple[str, tuple[str, ...]]:
    return told.sort, tuple(new_name(name, names) for name in told.names)


def _except(stage: Stage, ref: str, original: str) -> str:
    """Return how a copy differs from its original: kind, value, status, type."""
    part, other = stage.part(ref), stage.part(original)
    if part is None or other is None:
        return ref
    words = [part.kind.word] if part.kind is not other.kind else []
    words += _value(part) if dict(part.given) != dict(other.given) else []
    words += status_words(part) if status_words(part) != status_words(other) else []
    if part.type_number and part.type_number != other.type_number:
        words.append(f'"{part.type_number}"')
    return " ".join((ref, *words))


def _value(part: Part) -> list[str]:
    """Return the value as words behind `except`, where `about` stands in quotes."""
    return [
        f'"{word}"' if word.startswith("about ") else word for word in value_words(part)
    ]
