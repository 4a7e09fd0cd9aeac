"""How far the bleed path of a link is to be trusted."""

from tracegraph.listing import listed
from tracegraph.powerup.link.discharge import seconds_to
from tracegraph.powerup.link.record import TOUCH, Link


def untrusted(link: Link) -> str:
    """Return what to say of a link that no traced part empties for certain."""
    if link.follows or (link.mains and link.bleed and link.bleed.ohms):
        return ""
    if link.bleed is None:
        return f"no bleed path traced: treat {link.name} as charged"
    if link.bleed.ohms is None:
        names = listed(link.bleed.unknown)
        return f"{names} of unknown value: treat {link.name} as charged"
    if not link.bleed.parts and link.bleed.rest:
        return (
            f"only the rest of the board, as measured, empties {link.name}: no bleeder "
            "is traced, so treat it as charged"
        )
    return ""


def longest(link: Link, farads: float) -> float | None:
    """Return the seconds to safe volts that a capacitance on a link takes at most."""
    ohms = link.bleed and link.bleed.ohms
    if not ohms or not link.volts.known:
        return None
    return seconds_to(ohms.high, farads, link.volts.high, TOUCH)
