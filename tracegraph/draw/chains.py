"""Parts with two ends that follow each other with nothing between: one line."""

from collections.abc import Mapping, Sequence

from tracegraph.draw.items import Item, Section

Link = tuple[Item, str, str]
"""An item with the pin where the chain comes in and the one where it goes on."""


def chains(section: Section, items: Sequence[Item]) -> list[list[Link]]:
    """Return items with two ends as chains, each in order from one end to the other.

    Args:
        section: The section.
        items: Its parts with two ends; each comes in just one chain.
    """
    refs = {item.ref for item in items}
    inner = {
        net: pins
        for net, pins in section.pins.items()
        if len(pins) == 2
        and pins[0][0].ref != pins[1][0].ref
        and net not in section.ended
        and {item.ref for item, _ in pins} <= refs
    }
    found: list[list[Link]] = []
    seen: set[str] = set()
    for item in items:
        if item.ref not in seen:
            chain = _walk(inner, _first(inner, item))
            seen |= {one.ref for one, _, _ in chain}
            found.append(chain)
    return found


Joints = Mapping[str, tuple[tuple[Item, str], ...]]


def _first(inner: Joints, item: Item) -> tuple[Item, str]:
    """Return the item at the chain's beginning, and the pin where it begins."""
    pin = next(iter(item.nets))
    start = item.ref
    while item.nets[pin] in inner:
        item, pin = _beyond(inner[item.nets[pin]], item)
        pin = _other(item, pin)
        if item.ref == start:
            break  # a ring: it begins anywhere
    return item, pin


def _walk(inner: Joints, begin: tuple[Item, str]) -> list[Link]:
    item, pin = begin
    chain: list[Link] = []
    while True:
        out = _other(item, pin)
        chain.append((item, pin, out))
        if item.nets[out] not in inner:
            return chain
        item, pin = _beyond(inner[item.nets[out]], item)
        if any(item.ref == one.ref for one, _, _ in chain):
            return chain


def _beyond(pins: Sequence[tuple[Item, str]], item: Item) -> tuple[Item, str]:
    return next((one, pin) for one, pin in pins if one.ref != item.ref)


def _other(item: Item, pin: str) -> str:
    return next(one for one in item.nets if one != pin)
