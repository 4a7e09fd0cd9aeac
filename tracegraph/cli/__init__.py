"""The command line: reads arguments, asks once, hands the answer to one view."""

from collections.abc import Sequence


def main(args: Sequence[str] | None = None) -> int:
    """Run the command that the arguments name and return its exit code."""
    from tracegraph.cli.program import run

    return run(args)
