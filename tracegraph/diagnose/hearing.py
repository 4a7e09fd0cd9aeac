"""Which readings of a powered board count: those whose net the file tells all about.

A chip of which nothing is known may drive its pins anywhere under power, and a section
that never comes to rest shows no steady volts. What hangs on them is no evidence.
"""

from math import isnan

from tracegraph.diagnose.moments import Log, Taken
from tracegraph.diagnose.rig import Rig
from tracegraph.diagnose.scene import Scene
from tracegraph.diagnose.verdict import Left
from tracegraph.network.circuit import UnknownValueError
from tracegraph.stage.reading import COLD, Mode


def heard(scene: Scene, log: Log) -> Log:
    """Return a log without the powered readings that tell nothing, each left out."""
    if all(moment.power == COLD for moment in log.moments):
        return log
    taken: list[Taken] = []
    left = list(log.left)
    whys = _Whys(scene, log)
    for one in log.taken:
        why = whys.why(one)
        if why:
            left.append(Left(one.reading, why))
        else:
            taken.append(one)
    return log._replace(taken=tuple(taken), left=tuple(left))


class _Whys:
    """Why powered readings count for nothing."""

    def __init__(self, scene: Scene, log: Log) -> None:
        self.scene, self.log = scene, log

    def why(self, one: Taken) -> str:
        """Return why a reading counts for nothing; empty if it counts."""
        moment = self.log.moments[one.moment]
        if moment.power == COLD:
            return ""
        try:
            rig = self.scene.rig(moment)
        except UnknownValueError as fault:
            return f"{fault}: nothing can be said of it under power"
        return why_deaf(rig, one.red, one.black)


def why_deaf(rig: Rig, red: str, black: str) -> str:
    """Return why volts between two nets tell nothing; empty if they do."""
    if rig.live is None:
        return ""
    why = rig.live.deaf(red, black)
    if not why and isnan(rig.healthy((red, black, Mode.VOLTS))):
        why = f"nothing in the file leads from {red} to {black} under power"
    return why
