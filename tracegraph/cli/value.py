"""`tracegraph value`: every meaning of a marking."""

import click

from tracegraph.cli.options import json_option
from tracegraph.cli.screen import screen
from tracegraph.meanings import readings_of


@click.command(
    name="value",
    context_settings={"ignore_unknown_options": True},
)
@click.argument("markings", nargs=-1, required=True, metavar="MARKING...")
@json_option
def command(markings: tuple[str, ...], *, as_json: bool) -> int:
    """Say every meaning that a MARKING can have, the likeliest first.

    Such as 103, 4k7, R47, 01C, 2A103J. Exit code 1 if one has none.
    """
    meanings = {marking: readings_of(marking) for marking in markings}
    out = screen()
    if as_json:
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.record import envelope, meaning_record

        records = [
            meaning_record(marking, one)
            for marking, found in meanings.items()
            for one in found
        ]
        record = envelope("value", None, (), records)
        out.say(json_text(record, ascii_only=out.ascii_only))
    else:
        from tracegraph.views.value_page import value_page

        out.show(value_page(meanings))
    return 0 if all(meanings.values()) else 1
