"""The meters that are known, range by range."""

from collections.abc import Sequence

from tracegraph.meter.profile import Profile
from tracegraph.views.amounts import whole
from tracegraph.views.page import Page, Table

HEAD = ("meter", "ohms up to", "open at", "diode test", "beeps below", "red is")


def meter_page(profiles: Sequence[Profile]) -> Page:
    """Return the meters as a table, with what decides how they read a board."""
    return (Table(HEAD, tuple(_row(one) for one in profiles)),)


def _row(one: Profile) -> tuple[str, ...]:
    volts = dict.fromkeys(whole(scale.volts, "V") for scale in one.ohms)
    test, beep = one.diode, one.beep
    return (
        one.name,
        whole(one.ohms[-1].full, "ohm") if one.ohms else "none",
        " to ".join(volts),
        f"{whole(test.amps, 'A')}, OL over {whole(test.over, 'V')}" if test else "none",
        whole(beep.below, "ohm") if beep else "none",
        "plus" if one.red_plus else "minus in ohms",
    )
