"""Two channels of one section as two sections, to be compared with each other."""

from collections.abc import Callable
from dataclasses import replace

from tracegraph.compare.board import Board, board_of
from tracegraph.compare.compare import CompareError, Known, compare_boards
from tracegraph.compare.comparison import Comparison, Difference, DifferenceKind
from tracegraph.stage.meaning.channels import sister_net
from tracegraph.stage.stage import Channel, Stage


def sisters(stage: Stage, one: str, other: str) -> Comparison:
    """Return how a channel of a section differs from its sister.

    Nets that both use are the same net. The parts are found by their places, whether
    the channel was written out or `like` its sister.

    Args:
        stage: The section.
        one: The channel that is compared, as a traced section.
        other: Its sister, as the reference.

    Raises:
        CompareError: The section has no such channel.
    """
    traced, reference = find_channel(stage, one), find_channel(stage, other)
    new, old = channel_of(stage, traced), channel_of(stage, reference)
    lawful = {ref.lower() for ref in (*traced.lawful, *reference.lawful)}
    boards = board_of(new), board_of(old)
    known = Known(
        (),
        (*_shared(*boards), *_inputs(boards, traced.name, reference.name)),
        _pads(old, traced, reference),
        frozenset(ref.split(".", 1)[0] for ref in lawful),
    )
    across = _across(stage, traced, reference)
    found = compare_boards(*boards, known)
    return found._replace(
        differences=(*found.differences, *across),
        ties=tuple((*each, *across) for each in found.ties),
        cost=found.cost + len(across),
    )


def find_channel(stage: Stage, name: str) -> Channel:
    """Return the channel of that name, in any case.

    Raises:
        CompareError: The section has no such channel.
    """
    for channel in stage.channels:
        if channel.name.lower() == name.lower():
            return channel
    known = ", ".join(channel.name for channel in stage.channels) or "none"
    raise CompareError(f"there is no channel {name} in this section; channels: {known}")


def channel_of(stage: Stage, channel: Channel) -> Stage:
    """Return the parts of one channel as a section of their own."""
    wanted = channel.name.lower()
    parts = tuple(part for part in stage.parts if part.channel.lower() == wanted)
    nets = {net for part in parts for net in part.pins.values()}
    others = _own_nets(stage, lambda name: name not in {"", wanted})
    return replace(
        stage,
        title=f"channel {channel.name}",
        parts=parts,
        inputs=tuple(one for one in stage.inputs if one.net in nets),
        links=tuple(
            one
            for one in stage.links
            if {one.a, one.b} & nets and not {one.a, one.b} & (others - nets)
        ),
        rests=(),
        breaks=(),
        untraced=tuple(net for net in stage.untraced if net in nets),
        channels=(),
        log=(),
    )


def _own_nets(stage: Stage, of: Callable[[str], bool]) -> set[str]:
    """Return the nets of the parts of some channels, told by name in lower case."""
    parts = (part for part in stage.parts if of(part.channel.lower()))
    return {net for part in parts for net in part.pins.values()}


def _across(
    stage: Stage, traced: Channel, reference: Channel
) -> tuple[Difference, ...]:
    """Return the bridges between the two channels: neither has one by itself."""
    one, other = (
        _own_nets(stage, channel.name.lower().__eq__) for channel in (traced, reference)
    )
    here, there = one - other, other - one
    return tuple(
        Difference(
            DifferenceKind.BRIDGED,
            (),
            f"{link.a} and {link.b} are joined: a bridge between the channels",
            f"{link.a} {link.b}",
            traced_span=link.span,
        )
        for link in stage.links
        if {link.a, link.b} & here and {link.a, link.b} & there
    )


def _pads(old: Stage, traced: Channel, reference: Channel) -> dict[str, str]:
    """Return what the traced channel calls the reference's places, if it was told."""
    pairs = dict(traced.parts)
    if reference.like.lower() == traced.name.lower():
        pairs = {copy: one for one, copy in reference.parts.items()}
    elif traced.like.lower() != reference.name.lower():
        pairs = {}
    return {
        part.ref.lower(): part.ref.replace(part.package, pairs[part.package], 1)
        for part in old.parts
        if part.package in pairs
    }


def _shared(new: Board, old: Board) -> list[tuple[str, str]]:
    """Return the nets that both channels use."""
    return [(net, net) for net in old.on if net in new.on]


def _inputs(
    boards: tuple[Board, Board], name: str, sister: str
) -> list[tuple[str, str]]:
    """Return pairs of inputs that are called alike but for the channel's name."""
    new, old = boards
    here = {one.net.lower(): one.net for one in new.stage.inputs}
    pairs = (
        (one.net, here.get(sister_net(one.net, sister, name).lower()))
        for one in old.stage.inputs
    )
    return [(old.joined[a], new.joined[b]) for a, b in pairs if b]
