"""Completion of what a file holds: its nets, parts and pins, and known meters."""

from typing import TYPE_CHECKING

import click

from tracegraph.cli.refusal import Refusal

if TYPE_CHECKING:
    from tracegraph.stage.stage import Stage

Words = list[str]


def points(ctx: click.Context, param: click.Parameter, incomplete: str) -> Words:
    """Return nets of the file, and parts, that begin so."""
    stage = _stage(ctx)
    if stage is None:
        return []
    return _fitting([*stage.nets, *(part.ref for part in stage.parts)], incomplete)


def parts(ctx: click.Context, param: click.Parameter, incomplete: str) -> Words:
    """Return parts of the file that begin so."""
    stage = _stage(ctx)
    return _fitting([part.ref for part in stage.parts] if stage else [], incomplete)


def legs(ctx: click.Context, param: click.Parameter, incomplete: str) -> Words:
    """Return pins of the file that begin so."""
    stage = _stage(ctx)
    pins = (
        [f"{part.ref}.{pin}" for part in stage.parts for pin in part.pins]
        if stage
        else []
    )
    return _fitting(pins, incomplete)


def meters(ctx: click.Context, param: click.Parameter, incomplete: str) -> Words:
    """Return built-in meters that begin so."""
    from tracegraph.meter.profile_file import built_in

    return _fitting(list(built_in()), incomplete)


def _stage(ctx: click.Context) -> "Stage | None":
    """Return the section of the file on the line, if it can be read."""
    from tracegraph.cli.section import section_of

    file = ctx.params.get("file")
    try:
        return section_of(str(file)) if file else None
    except Refusal:
        return None


def _fitting(words: list[str], incomplete: str) -> Words:
    start = incomplete.lower()
    return [word for word in words if word.lower().startswith(start)]
