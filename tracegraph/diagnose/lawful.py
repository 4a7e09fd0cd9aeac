"""What looks odd at sight and is as it should be: junctions that a path beside hides.

A diode with a winding or a low resistor across it reads short both ways and is fine.
"""

from collections.abc import Iterator

from tracegraph.diagnose.moments import Log
from tracegraph.meter.expect import Probe, expect
from tracegraph.meter.profile import Profile
from tracegraph.network.circuit import Floats
from tracegraph.stage.branch import Junction, Transistor
from tracegraph.stage.part import Part
from tracegraph.stage.reading import Mode
from tracegraph.stage.stage import Stage

HIDDEN_VOLTS = 0.40  # under it no silicon junction is seen; common practice, no source
SURE = 0.1  # chance of a slip under which a reading is as expected
MOST = 3  # that are told


def lawful(
    stage: Stage, log: Log, healthy: Floats, slips: Floats, profile: Profile
) -> Iterator[str]:
    """Yield readings across a junction that cannot show it, and why.

    Args:
        stage: The section as traced.
        log: Its readings.
        healthy: What the healthy section shows, as it is worked on.
        slips: Chance of every reading to be a slip, if the section is healthy.
        profile: The meter.
    """
    told: set[frozenset[str]] = set()
    for k, one in enumerate(log.taken):
        ends = frozenset((one.red, one.black))
        plain = not log.moments[one.moment].done and not one.reading.condition.changes
        low = one.reading.mode is Mode.DIODE and healthy[k] < HIDDEN_VOLTS
        if not (plain and low) or slips[k] > SURE or ends in told or len(told) >= MOST:
            continue
        parts = [part.ref for part in stage.parts if _junction(part, ends)]
        if parts:
            told.add(ends)
            probe = Probe(one.red, one.black, Mode.DIODE)
            (found,) = expect(stage, (probe,), profile)
            hidden = " and ".join(parts)
            yield (
                f"{one.red} to {one.black} reads {found.display}: {found.reason}; "
                f"{hidden} can't show its junction beside that"
            )


def _junction(part: Part, ends: frozenset[str]) -> bool:
    """Return whether a part has a junction right across two nets."""
    if not part.fitted or not ends <= set(part.pins.values()):
        return False
    return any(isinstance(one, Junction | Transistor) for one in part.kind.cold(part))
