"""The command line: reads arguments, asks once, hands the answer to one view."""

import gc
from collections.abc import Sequence


def main(args: Sequence[str] | None = None) -> int:
    """Run the command that the arguments name and return its exit code."""
    from tracegraph.cli.program import run

    code = run(args)
    if args is None:
        gc.freeze()  # the process ends here: searching what it holds is for nothing
    return code
