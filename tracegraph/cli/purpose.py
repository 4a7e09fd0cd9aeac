"""`tracegraph purpose`: what each part is for, shown by what changes without it."""

import click

from tracegraph.cli.command import FileCommand
from tracegraph.cli.complete import parts
from tracegraph.cli.options import file_argument, json_option
from tracegraph.cli.refusal import Refusal
from tracegraph.cli.screen import screen
from tracegraph.cli.section import holds_errors, section_of, tell_left_out
from tracegraph.nearest import did_you_mean
from tracegraph.stage.caution import cautions
from tracegraph.stage.stage import Stage


@click.command(cls=FileCommand, name="purpose")
@file_argument
@click.argument("names", metavar="[PART]...", nargs=-1, shell_complete=parts)
@json_option
def command(file: str, names: tuple[str, ...], *, as_json: bool) -> int:
    """Say what each part of FILE is for, or what PART is for.

    The role is told by where the part stands; what it does is shown by working the
    section out without it and with it shorted, in every declared state and with the
    controller unplugged, and by the edges at the gate that it works on.
    """
    from tracegraph.purpose.purpose import purpose

    stage = section_of(file)
    if not stage.parts:
        raise Refusal(f"{file} has no parts yet: write such as `R1 10k GATE -- COM`")
    refs = list(dict.fromkeys(ref for name in names for ref in _refs(stage, name)))
    tell_left_out(stage)
    found = purpose(stage, refs or None)
    out = screen()
    if as_json:
        from tracegraph.views.purpose_record import purpose_record
        from tracegraph.views.record import as_json as json_text
        from tracegraph.views.record import envelope

        records = [purpose_record(one) for one in found.parts]
        told = envelope("purpose", file, stage.problems, records)
        record = {**told, "cautions": list(cautions(stage))}
        out.say(json_text(record, ascii_only=out.ascii_only))
    else:
        from tracegraph.views.purpose_page import purpose_page

        out.show(purpose_page(stage.title, found, cautions(stage)))
    return 1 if holds_errors(stage) else 0


def _refs(stage: Stage, name: str) -> list[str]:
    """Return a part, or the units of a package; refuse with what was probably meant."""
    part = stage.part(name)
    units = [one.ref for one in stage.parts if one.package.lower() == name.lower()]
    if part or units:
        return [part.ref] if part else units
    net = stage.net(name)
    if net:
        on = ", ".join(dict.fromkeys(pin.part for pin in stage.nets[net]))
        what = "a pin" if stage.pin(name) else "a net"
        raise Refusal(f"{name} is {what}, not a part; on {net} are {on}")
    known = (one.ref for one in stage.parts)
    raise Refusal(f"there is no part {name}{did_you_mean(name, known)}")
