"""What a command refuses to do: one sentence, exit code 2, never a traceback."""

import click


class Refusal(click.ClickException):
    """Wrong use, or a file that can't be read."""

    exit_code = 2
