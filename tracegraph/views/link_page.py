"""The DC link for people: what it holds, how long, and what feeds it."""

from collections.abc import Iterator

from tracegraph.display import show
from tracegraph.powerup.link.record import DcLink, Link, Tap
from tracegraph.powerup.link.trust import untrusted
from tracegraph.views.link_words import (
    bleed_words,
    boost_words,
    quiet_words,
    stored_words,
    volts_words,
)
from tracegraph.views.page import GAP, Block, Line, Table, Tone, caution, title
from tracegraph.views.reading_words import sentence

LOADED = 0.01  # of a level: from here on a meter's own load is told


def link_blocks(found: DcLink) -> tuple[Block, ...]:
    """Return what is known of a section's links; nothing where it has none."""
    blocks: list[Block] = []
    for link in found.links:
        blocks += [GAP, title(_heading(link)), *_link(link)]
    if found.links and found.quiet:
        blocks += [GAP, title("When no gate drive is to be expected")]
        blocks += [_item(quiet_words(one)) for one in found.quiet]
    return tuple(blocks)


def _heading(link: Link) -> str:
    if link.mains:
        return f"Capacitor across the mains, {link.plus} to {link.minus}"
    return f"Link {link.name}"


def _item(text: str, tone: Tone = Tone.PLAIN) -> Line:
    return Line(sentence(text), tone, indent=2, mark="- ")


def _link(link: Link) -> Iterator[Block]:
    yield from (_item(one) for one in (volts_words(link), *link.fed) if one)
    yield from (_item(one) for one in stored_words(link))
    yield from (_item(one) for one in bleed_words(link))
    if untrusted(link):
        yield caution(sentence(untrusted(link)))
    yield from (_item(one) for one in link.leads)
    if link.boost:
        yield from (_item(one) for one in boost_words(link.boost, link.plus))
    yield from (_item(one, Tone.ASK) for one in link.doubts)
    if link.taps:
        yield Table(
            ("tap", "stands at", "a 10 M meter shows", "why it differs"),
            tuple(
                (one.net, show(one.volts, "V"), show(one.shown, "V", 4), _loaded(one))
                for one in link.taps
            ),
        )


def _loaded(tap: Tap) -> str:
    less = tap.shown / tap.volts - 1 if tap.volts else 0.0
    return (
        "" if abs(less) < LOADED else f"the meter loads the chain: {less * 100:.1f} %"
    )
