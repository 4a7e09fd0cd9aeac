"""A large section parted at its weak joints, so that no sheet has to be shrunk."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from tracegraph.draw.items import Item, Section

if TYPE_CHECKING:
    import networkx as nx

WHOLE = 64
"""Items up to which a section stays on one sheet."""

MOST = 48
"""Items on a sheet, once there are several; a sister channel may have more."""

FINEST = 64.0
"""Resolution at which a group that is still too large stays as it is."""


def sections_of(section: Section) -> tuple[Section, ...]:
    """Return the sections for the sheets, in the order of their first items.

    Nets that go on on another sheet are told to each with the others' numbers.
    """
    if len(section.items) <= WHOLE:
        return (section,)
    groups = _packed(section, _communities(section))
    _add_loose(section, groups)
    order = {item.ref: number for number, item in enumerate(section.items)}
    groups = [sorted(group, key=lambda ref: order[ref]) for group in groups]
    groups.sort(key=lambda group: order[group[0]])
    by_ref = {item.ref: item for item in section.items}
    sheets = [[by_ref[ref] for ref in group] for group in groups]
    where = _sheets_of_nets(section, sheets)
    return tuple(
        Section(section.stage, tuple(items), _beyond(where, number), section.by_name)
        for number, items in enumerate(sheets, 1)
    )


def _communities(section: Section) -> list[list[str]]:
    """Return designators that hang closely together.

    By greedy modularity (Clauset, Newman, Moore 2004); a sister channel is never
    parted, and a net pulls the less the more pins it has.
    """
    import networkx as nx

    graph: nx.Graph[str] = nx.Graph()
    atom = {item.ref: item.part.channel or item.ref for item in section.items}
    for pins in section.pins.values():
        refs = list(dict.fromkeys(atom[item.ref] for item, _ in pins))
        for k, one in enumerate(refs):
            for other in refs[k + 1 :]:
                before = graph.get_edge_data(one, other, {"weight": 0.0})["weight"]
                graph.add_edge(one, other, weight=before + 1 / (len(refs) - 1))
    members: dict[str, list[str]] = {}
    for ref, name in atom.items():
        members.setdefault(name, []).append(ref)
    sizes = {name: len(refs) for name, refs in members.items()}
    place = {name: number for number, name in enumerate(atom.values())}
    found = _close(graph, sizes) if graph else ()
    groups = [sorted(group, key=lambda name: place[name]) for group in found]
    groups.sort(key=lambda group: place[group[0]])
    return [[ref for name in group for ref in members[name]] for group in groups]


def _close(
    graph: "nx.Graph[str]", sizes: Mapping[str, int], resolution: float = 1.0
) -> Iterator[Collection[str]]:
    """Yield what hangs closely together, looked at more finely where it is too large."""
    import networkx as nx

    for group in nx.community.greedy_modularity_communities(
        graph, weight="weight", resolution=resolution
    ):
        crowded = sum(sizes[name] for name in group) > MOST
        if crowded and len(group) > 1 and resolution < FINEST:
            inner: nx.Graph[str] = nx.Graph()
            inner.add_edges_from(
                edge for edge in graph.edges(data=True) if {*edge[:2]} <= group
            )
            yield from _close(inner, sizes, 2 * resolution)
        else:
            yield group


def _packed(section: Section, groups: list[list[str]]) -> list[list[str]]:
    """Return groups put together while they fit, the closest first."""
    groups = [list(group) for group in groups]
    while True:
        pairs = [
            (-_pull(section, groups[k], groups[m]), k, m)
            for k in range(len(groups))
            for m in range(k + 1, len(groups))
            if len(groups[k]) + len(groups[m]) <= MOST
        ]
        if not pairs:
            return groups
        _, k, m = min(pairs)
        groups[k] += groups.pop(m)


def _pull(section: Section, one: Iterable[str], other: Iterable[str]) -> float:
    """Return how strongly two groups hang together; a small one joins the easier."""
    mine, yours = set(one), set(other)
    total = 0.0
    for pins in section.pins.values():
        refs = {item.ref for item, _ in pins}
        if refs & mine and refs & yours:
            total += 1 / (len(refs) - 1)
    return total / min(len(mine), len(yours))


def _add_loose(section: Section, groups: list[list[str]]) -> None:
    """Put what hangs on rails only to where its rail is used most."""
    if not groups:
        groups.append([])
    seen = {ref for group in groups for ref in group}
    uses = [_uses(section, group) for group in groups]
    for item in section.items:
        if item.ref not in seen:
            best = max(
                range(len(groups)),
                key=lambda k: (
                    sum(uses[k][net] for net in item.nets.values()),
                    -len(groups[k]),
                    -k,
                ),
            )
            groups[best].append(item.ref)


def _uses(section: Section, refs: Sequence[str]) -> Counter[str]:
    """Return how often each rail is used by some parts; grounds tell nothing."""
    mine = set(refs)
    grounds = {ground.net for ground in section.stage.grounds}
    return Counter(
        net
        for item in section.items
        if item.ref in mine
        for net in item.nets.values()
        if net in section.hubs and net not in grounds
    )


def _sheets_of_nets(
    section: Section, sheets: Sequence[Sequence[Item]]
) -> Mapping[str, tuple[int, ...]]:
    found: dict[str, dict[int, None]] = {}
    for number, items in enumerate(sheets, 1):
        for item in items:
            for net in item.nets.values():
                if net in section.pins:
                    found.setdefault(net, {})[number] = None
    return {net: tuple(numbers) for net, numbers in found.items()}


def _beyond(
    where: Mapping[str, tuple[int, ...]], number: int
) -> Mapping[str, tuple[int, ...]]:
    return {
        net: tuple(other for other in numbers if other != number)
        for net, numbers in where.items()
        if number in numbers and len(numbers) > 1
    }
