"""`tracegraph meters`: the meters that are known."""

import click

from tracegraph.cli.screen import screen


@click.command(name="meters")
def command() -> int:
    """List the built-in meters: a range may say more than its name.

    Your own goes into a `.trace` file beside the section, or into the folder of your
    settings; `--meter` takes its name or path.
    """
    from tracegraph.meter.profile_file import built_in
    from tracegraph.views.meter_page import meter_page

    screen().show(meter_page(tuple(built_in().values())))
    return 0
