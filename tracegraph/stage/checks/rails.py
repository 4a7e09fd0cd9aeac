"""Rails of which nothing tells what else hangs on them."""

from collections.abc import Iterator

from tracegraph.diagnostics import Problem, doubt
from tracegraph.stage.checks.unread import Unread
from tracegraph.stage.stage import Stage


def rails_without_rest(stage: Stage, _unread: Unread) -> Iterator[Problem]:
    """Yield rails whose cold rest of the board was not measured."""
    told = {net for rest in stage.rests for net in (rest.a, rest.b)}
    for rail in stage.rails:
        if rail.net not in told and rail.over:
            message = f"Nothing tells what else hangs on {rail.net}, cold."
            hint = (
                f"Measure {rail.net}-{rail.over} and write `rest {rail.net} -- {rail.over} "
                "1k8`, or none."
            )
            yield doubt("rail-without-rest", message, rail.span, hint)
