"""The DC link for machines."""

from tracegraph.powerup.link.record import METER, TOUCH, Boost, DcLink, Link
from tracegraph.powerup.link.trust import untrusted
from tracegraph.views.record import Record, number, quantity_record


def link_records(found: DcLink) -> Record:
    """Return the links of a section for machines."""
    return {
        "links": [_record(one) for one in found.links],
        "quiet": [one._asdict() for one in found.quiet],
        "safe_volts": {"touch": TOUCH, "meter": METER},
    }


def _record(link: Link) -> Record:
    bleed, boost = link.bleed, link.boost
    return {
        "plus": link.plus,
        "minus": link.minus,
        "mains": link.mains,
        "volts": quantity_record(link.volts),
        "states": {name: quantity_record(one) for name, one in link.states},
        "fed": list(link.fed),
        "capacitors": list(link.capacitors),
        "farads": quantity_record(link.farads) if link.farads else None,
        "joules": quantity_record(link.energy) if link.energy else None,
        "bleed": {
            "parts": list(bleed.parts),
            "ohms": quantity_record(bleed.ohms) if bleed.ohms else None,
            "rest_of_board": bleed.rest,
            "unknown": list(bleed.unknown),
            "through": list(bleed.through),
        }
        if bleed
        else None,
        "falls": [
            {
                "volts": one.volts,
                "seconds": number(one.typical),
                "longest": number(one.longest),
            }
            for one in link.falls
        ],
        "after_a_second": number(link.after),
        "follows": link.follows,
        "leads": list(link.leads),
        "taps": [
            {
                "net": one.net,
                "over": one.over,
                "volts": number(one.volts),
                "shown": number(one.shown),
                "sense": one.sense,
            }
            for one in link.taps
        ],
        "boost": _boost_record(boost) if boost else None,
        "doubts": list(link.doubts),
        "treat_as_charged": bool(untrusted(link)),
    }


def _boost_record(boost: Boost) -> Record:
    return {
        "coil": boost.coil,
        "switch": boost.switch,
        "diode": boost.diode,
        "source": boost.source,
        "node": boost.node,
        "mains": boost.mains,
        "hertz": number(boost.hertz),
        "duties": [
            {
                "state": one.state,
                "into": number(one.into),
                "out": number(one.out),
                "duty": number(one.duty),
                "ripple": number(one.ripple),
                "droop_per_ampere": number(one.droop),
            }
            for one in boost.duties
        ],
    }
