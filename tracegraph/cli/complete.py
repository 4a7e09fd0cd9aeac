"""Completion of what a file holds: its nets, parts and pins, and known meters."""

import click
from click.shell_completion import CompletionItem

from tracegraph.cli.refusal import Refusal
from tracegraph.stage.stage import Stage

Items = list[CompletionItem]


def points(ctx: click.Context, param: click.Parameter, incomplete: str) -> Items:
    """Return nets of the file, and parts, that begin so."""
    stage = _stage(ctx)
    if stage is None:
        return []
    return _fitting([*stage.nets, *(part.ref for part in stage.parts)], incomplete)


def parts(ctx: click.Context, param: click.Parameter, incomplete: str) -> Items:
    """Return parts of the file that begin so."""
    stage = _stage(ctx)
    return _fitting([part.ref for part in stage.parts] if stage else [], incomplete)


def legs(ctx: click.Context, param: click.Parameter, incomplete: str) -> Items:
    """Return pins of the file that begin so."""
    stage = _stage(ctx)
    pins = (
        [f"{part.ref}.{pin}" for part in stage.parts for pin in part.pins]
        if stage
        else []
    )
    return _fitting(pins, incomplete)


def meters(ctx: click.Context, param: click.Parameter, incomplete: str) -> Items:
    """Return built-in meters that begin so."""
    from tracegraph.meter.profile_file import built_in

    return _fitting(list(built_in()), incomplete)


def _stage(ctx: click.Context) -> Stage | None:
    """Return the section of the file on the line, if it can be read."""
    from tracegraph.cli.section import section_of

    file = ctx.params.get("file")
    try:
        return section_of(str(file)) if file else None
    except Refusal:
        return None


def _fitting(words: list[str], incomplete: str) -> Items:
    start = incomplete.lower()
    return [CompletionItem(word) for word in words if word.lower().startswith(start)]
