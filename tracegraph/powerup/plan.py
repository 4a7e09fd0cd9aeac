"""In which order a section is powered up, and when to stop."""

from tracegraph.meter.profile import Profile
from tracegraph.powerup.cautions import before
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.record import Plan
from tracegraph.powerup.steps.cold import cold
from tracegraph.powerup.steps.control import control
from tracegraph.powerup.steps.device import device
from tracegraph.powerup.steps.drive import drive
from tracegraph.powerup.steps.link import fitted, full, low_link
from tracegraph.powerup.steps.supply import supply
from tracegraph.stage.stage import Stage


def plan(stage: Stage, profile: Profile) -> Plan:
    """Return the steps from the cold board to full power, cautions first.

    A step that does not apply to the section is left out: twelve volts need no lamp.

    Args:
        stage: The section.
        profile: The meter of the cold readings.
    """
    facts = Facts(stage, profile)
    steps = (
        cold(facts, profile),
        device(facts),
        supply(facts),
        control(facts),
        drive(facts),
        low_link(facts),
        fitted(facts),
        full(facts),
    )
    return Plan(
        stage.title or "The section",
        tuple(before(facts)),
        tuple(one for one in steps if one),
        facts.link,
    )
