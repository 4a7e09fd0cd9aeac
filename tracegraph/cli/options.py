"""Options that several commands share: file, meter, JSON."""

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tracegraph.cli.complete import meters
from tracegraph.cli.refusal import Refusal

if TYPE_CHECKING:
    from tracegraph.meter.profile import Profile

FILE_TYPE = click.Path(allow_dash=True)

file_argument = click.argument("file", type=FILE_TYPE)
json_option = click.option("--json", "as_json", is_flag=True, help="For machines.")
meter_option = click.option(
    "--meter",
    metavar="NAME",
    shell_complete=meters,
    help="A built-in meter, or your own by name or path (usual: handheld).",
)


def profile_told(name: str | None, file: str) -> "Profile":
    """Return a meter by name: built in, beside the file, or in the user's folder.

    Raises:
        Refusal: There is no such meter.
    """
    from tracegraph.meter.profile_file import DEFAULT, UnknownMeterError, find_meter

    try:
        return find_meter(name or DEFAULT, meter_places(file))
    except UnknownMeterError as unknown:
        raise Refusal(str(unknown)) from None


def meter_places(file: str) -> tuple[Path, ...]:
    """Return the folders where a user's own meters lie."""
    home = os.environ.get("APPDATA") or os.environ.get("XDG_CONFIG_HOME")
    config = Path(home) if home else Path.home() / ".config"
    return (Path(file).parent, config / "tracegraph")
