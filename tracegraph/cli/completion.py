"""`tracegraph completion`: a script that makes the shell complete nets and parts."""

import click

from tracegraph.cli.command import choice

SHELLS = ("bash", "zsh", "fish")


@click.command(name="completion")
@click.argument("shell", **choice("shell", SHELLS))
def command(shell: str) -> int:
    """Print the completion script for bash, zsh or fish.

    For bash: tracegraph completion bash >> ~/.bash_completion
    """
    from click.shell_completion import get_completion_class

    from tracegraph.cli.program import COMPLETE, NAME, program

    maker = get_completion_class(shell)
    if maker is not None:
        script = maker(program, {}, NAME, COMPLETE)
        click.echo(script.source_template % script.source_vars())
    return 0
