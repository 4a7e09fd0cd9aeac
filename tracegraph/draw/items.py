"""What is to be drawn: parts, and what stands in the file beside them as parts would."""

from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from tracegraph.stage.kinds import KINDS
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Link, LinkForm, Rest, RestForm, Stage


class Item(NamedTuple):
    """A part, link or rest to be drawn.

    Attributes:
        part: The part; a link or rest as the part that it looks like.
        status: `fitted`, `absent`, `removed`, `link`, `bridge`, `rest` or `ghost`.
    """

    part: Part
    status: str = "fitted"

    @property
    def ref(self) -> str:
        """Its designator, or a name of its own: `link HOT-SHIELD`."""
        return self.part.ref

    @property
    def nets(self) -> Mapping[str, str]:
        """Net of each pin."""
        return self.part.pins


class Section:
    """The items of a section, and what is known of its nets.

    Attributes:
        stage: The section.
        items: What is to be drawn, in file order.
        hubs: Nets without wires: every pin on one gets a symbol of its own. Rails,
            grounds, and nets that are joined by name.
        beyond: Nets that go on on other sheets, with the numbers of those.
        by_name: Nets that are joined by their name instead of by a wire.
    """

    def __init__(
        self,
        stage: Stage,
        items: tuple[Item, ...],
        beyond: Mapping[str, tuple[int, ...]] = MappingProxyType({}),
        by_name: frozenset[str] = frozenset(),
    ) -> None:
        """Take a section, and the items of it that stand on this sheet."""
        self.stage = stage
        self.items = items
        self.by_name = by_name
        self.hubs = frozenset(stage.references) | by_name
        self.beyond = beyond

    def joining(self, nets: frozenset[str]) -> "Section":
        """Return the section with more nets joined by name."""
        by_name = self.by_name | nets
        return Section(self.stage, self.items, self.beyond, by_name)

    @cached_property
    def pins(self) -> Mapping[str, tuple[tuple[Item, str], ...]]:
        """The pins on every net that is no hub, in file order."""
        found: dict[str, list[tuple[Item, str]]] = {}
        for item in self.items:
            for pin, net in item.nets.items():
                if net not in self.hubs:
                    found.setdefault(net, []).append((item, pin))
        return MappingProxyType({net: tuple(pins) for net, pins in found.items()})

    @cached_property
    def open_nets(self) -> Mapping[str, str]:
        """Nets on which more may hang or a plug is out, with what is the case."""
        told = [(net, "untraced") for net in self.stage.untraced]
        told += [(net, "unplugged") for net in self.stage.unplugged]
        return MappingProxyType({self.stage.net(net) or net: why for net, why in told})

    @cached_property
    def ended(self) -> frozenset[str]:
        """Nets with a symbol of their own: inputs, open ends, other sheets."""
        inputs = (source.net for source in self.stage.inputs)
        found = frozenset((*inputs, *self.open_nets, *self.beyond))
        return found.intersection(self.pins)

    @cached_property
    def flagged(self) -> frozenset[str]:
        """Those of them whose symbol hangs on a wire: more than one pin is there."""
        return frozenset(net for net in self.ended if len(self.pins[net]) > 1)

    @cached_property
    def named(self) -> frozenset[str]:
        """Nets that carry a name somebody wrote, not that of a pin."""
        return frozenset(net for net in self.pins if self.stage.pin(net) is None)


def items_of(stage: Stage) -> tuple[Item, ...]:
    """Return everything of a section that is drawn as a symbol with pins."""
    parts = (Item(part, part.status.value) for part in stage.parts)
    return (*parts, *_links(stage), *_rests(stage))


def _links(stage: Stage) -> Iterator[Item]:
    for number, link in enumerate(stage.links):
        yield Item(_link(link, number), link.form.value)


def _link(link: Link, number: int) -> Part:
    bridge = link.form is LinkForm.BRIDGE
    word = "bridge" if bridge else "link" if link.trusted else "link ?"
    note = "" if link.trusted else "beeps, but no track is seen"
    ref = f"{word} {number + 1}"
    return Part(ref, KINDS["jumper"], {"1": link.a, "2": link.b}, note=note)


def _rests(stage: Stage) -> Iterator[Item]:
    count: Counter[str] = Counter()
    for rest in stage.rests:
        if rest.form is not RestForm.NONE and rest.a != rest.b:
            count["rest"] += 1
            yield Item(_rest(rest, count["rest"]), "rest")


def _rest(rest: Rest, number: int) -> Part:
    kind = "capacitor" if rest.form is RestForm.CAPACITANCE else "resistor"
    given = {}
    if rest.form is RestForm.OHMS and rest.ohms:
        given["r"] = rest.ohms
    if rest.farads:
        given["c"] = rest.farads
    return Part(
        f"rest {number}",
        KINDS[kind],
        {"1": rest.a, "2": rest.b},
        given=given,
        note="the untraced rest of the board, as measured",
    )
