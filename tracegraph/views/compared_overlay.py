"""Differences to a known-good section laid over the drawing of the traced one."""

from collections.abc import Iterator, Mapping

from tracegraph.compare.comparison import Comparison, Difference, DifferenceKind
from tracegraph.draw.overlay import (
    Ghost,
    Join,
    Mark,
    OnNet,
    OnPart,
    Overlay,
    Role,
    Target,
)
from tracegraph.stage.stage import LinkForm, Stage
from tracegraph.views.compared_page import other_sections, sentence

ROLES: Mapping[DifferenceKind, Role] = {
    DifferenceKind.ABSENT: Role.ABSENT,
    DifferenceKind.EXTRA: Role.EXTRA,
    DifferenceKind.VALUE: Role.DIFFERS,
    DifferenceKind.KIND: Role.DIFFERS,
    DifferenceKind.REVERSED: Role.DIFFERS,
    DifferenceKind.SWAPPED: Role.DIFFERS,
    DifferenceKind.MOVED: Role.DIFFERS,
    DifferenceKind.BRIDGED: Role.BRIDGED,
    DifferenceKind.BROKEN: Role.BROKEN,
    DifferenceKind.MISREAD: Role.NOTE,
    DifferenceKind.UNKNOWN: Role.NOTE,
}


def compared_overlay(found: Comparison, traced: Stage, reference: Stage) -> Overlay:
    """Return the differences as a layer over the traced section's drawing."""
    layer = Overlay(f"beside {found.reference_title or 'the reference'}")
    if not found.same_section:
        return layer._replace(legend=(other_sections(found),))
    for one in found.differences:
        layer = _with(layer, one, found, (traced, reference))
    words = tuple(map(sentence, found.differences))
    return layer._replace(legend=words)


def _with(
    layer: Overlay, one: Difference, found: Comparison, stages: tuple[Stage, Stage]
) -> Overlay:
    traced, reference = stages
    ghost = _ghost(one, found, traced, reference)
    if ghost:
        return layer._replace(ghosts=(*layer.ghosts, ghost))
    join = _join(one, found, traced)
    bridge = _told_bridge(join, traced) if join else None
    if bridge:
        mark = Mark(OnPart(bridge), Role.BRIDGED, more=one.words)
        return layer._replace(marks=(*layer.marks, mark))
    if join:
        return layer._replace(joins=(*layer.joins, join))
    return layer._replace(marks=(*layer.marks, *_marks(one, traced, reference)))


def _ghost(
    one: Difference, found: Comparison, traced: Stage, reference: Stage
) -> Ghost | None:
    """Return a part that has no place in the traced section at all."""
    part = reference.part(one.reference)
    if one.kind is not DifferenceKind.ABSENT or part is None or traced.part(one.traced):
        return None
    pins = {pin: found.nets.get(net, net) for pin, net in part.pins.items()}
    return Ghost(part.with_pins(pins), more=one.words)


def _join(one: Difference, found: Comparison, traced: Stage) -> Join | None:
    """Return two nets that are still told apart in the traced section."""
    if one.kind is not DifferenceKind.BRIDGED:
        return None
    nets = dict.fromkeys(_called(one, found, traced))
    if len(nets) != 2:
        return None
    a, b = nets
    return Join(a, b, more=one.words)


def _told_bridge(join: Join, traced: Stage) -> str | None:
    """Return what the drawing calls a bridge that the file tells of, or None."""
    ends = {join.a, join.b}
    for number, link in enumerate(traced.links, 1):
        if link.form is LinkForm.BRIDGE and {link.a, link.b} == ends:
            return f"bridge {number}"
    return None


def _called(one: Difference, found: Comparison, traced: Stage) -> Iterator[str]:
    """Yield what the joined nets of the reference are called in the traced section."""
    for name in one.reference.split():
        own = traced.net(name) or traced.net(found.nets.get(name, ""))
        if own:
            yield own


def _marks(one: Difference, traced: Stage, reference: Stage) -> Iterator[Mark]:
    role = Role.NOTE if one.lawful else ROLES[one.kind]
    for target in _targets(one, traced):
        text = _short(one, reference)
        yield Mark(target, role, text, more=one.words)


def _targets(one: Difference, traced: Stage) -> Iterator[Target]:
    for name in one.traced.split():
        if traced.part(name):
            yield OnPart(name)
        elif pin := traced.pin(name):
            yield pin
        elif net := traced.net(name):
            yield OnNet(net)


def _short(one: Difference, reference: Stage) -> str:
    """Return a few letters for the picture; the rest stands under it."""
    part = reference.part(one.reference)
    match one.kind:
        case DifferenceKind.VALUE if part:
            from tracegraph.draw.words import value

            return f"{value(part)} there"
        case DifferenceKind.KIND if part:
            return f"{part.kind.title} there"
        case DifferenceKind.REVERSED:
            return "other way round"
        case DifferenceKind.MISREAD:
            return f"{one.reference} there"
        case DifferenceKind.UNKNOWN:
            return "not known"
        case _:
            return ""
