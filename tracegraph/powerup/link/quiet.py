"""When no gate drive is to be expected: what looks like a fault and is none."""

from collections.abc import Iterator, Sequence

from tracegraph.display import show
from tracegraph.listing import listed
from tracegraph.powerup.driving import Driving, devices, driving
from tracegraph.powerup.link.bank import nominal
from tracegraph.powerup.link.record import Link, Quiet
from tracegraph.powerup.words import span
from tracegraph.quantity import Origin
from tracegraph.stage.jobs import job_of
from tracegraph.stage.part import Part
from tracegraph.stage.stage import Stage

PRACTICE = "common practice, no source"
_STARTS = {
    "driver": "8 to 9 V for a FET's driver",
    "bridgedriver": "8 to 9 V for a FET's driver",
    "optodriver": "11 to 13 V for an IGBT's driver",
    "ic": "8 to 9 V; one that starts from a great resistor starts at 15 to 16 V and "
    "stops at about 10 V",
}


def quiet(stage: Stage, links: Sequence[Link]) -> Iterator[Quiet]:
    """Yield every condition under which the gates rightly stay still."""
    yield from _at_target(links)
    drives = [driving(stage, one) for one in devices(stage)]
    yield from _locked_out(drives)
    yield from _not_asked(stage, drives)
    yield from _bootstrap(drives)
    yield from quiet_at_low_link(links, drives)


def _at_target(links: Sequence[Link]) -> Iterator[Quiet]:
    """Yield that a boost controller wants nothing of a link that is full."""
    for link in links:
        if not link.boost:
            continue
        most = nominal(link)
        at = f" ({show(most, 'V')})" if most else ""
        tap = next((one for one in link.taps if one.sense), None)
        sees = f", {tap.net} at {show(tap.volts, 'V')}" if tap and most else ""
        yield Quiet(
            f"{link.plus} is at its target{at}{sees}, and nothing draws on it",
            f"the controller wants no more: {link.boost.switch} gets a burst now and "
            f"then, or nothing; so it is with {link.plus} fed from outside",
            PRACTICE,
        )
        for one in link.boost.duties:
            if not one.duty:
                yield Quiet(
                    f"{link.boost.source} is as high as {link.plus}"
                    + (f", as in {one.state}" if one.state else ""),
                    f"{link.boost.diode} carries the current by itself: D = 1 - "
                    f"{show(one.into, 'V')} / {show(one.out, 'V')} leaves nothing",
                    "computed",
                )


def _locked_out(drives: Sequence[Driving]) -> Iterator[Quiet]:
    """Yield that a chip keeps still until its supply is high enough."""
    chips: dict[str, tuple[Part, str]] = {}
    for one in drives:
        if one.chip:
            chips.setdefault(one.chip.package, (one.chip, one.supply))
    same: dict[tuple[str, str], list[str]] = {}
    for package, (chip, supply) in chips.items():
        net = supply or f"the supply of {package}, which is not traced,"
        lock = chip.quantity("uvlo") if chip.has("uvlo") else None
        if lock and lock.known:
            limit = span(lock.low, lock.high, "V")
            least = f"under its lockout, {limit}"
            basis = PRACTICE if lock.origin is Origin.USUAL else "as written"
        else:
            usual = _STARTS.get(chip.kind.word, "not known")
            least, basis = f"under its start voltage (usually {usual})", PRACTICE
        same.setdefault((f"{net} is {least}", basis), []).append(package)
    for (when, basis), packages in same.items():
        verb = "is" if len(packages) == 1 else "are"
        locked = f"{listed(packages)} {verb} locked out until the supply is there"
        yield Quiet(when, locked, basis)


def _not_asked(stage: Stage, drives: Sequence[Driving]) -> Iterator[Quiet]:
    """Yield that an input at rest, or whose plug is out, asks for nothing."""
    for net in dict.fromkeys(one.net for drive in drives for one in drive.inputs):
        if net in stage.unplugged:
            yield Quiet(f"nothing is on {net}", "its plug is out", "as written")


def _bootstrap(drives: Sequence[Driving]) -> Iterator[Quiet]:
    """Yield that a high side has no supply until its low side has been on."""
    packages = dict.fromkeys(
        one.chip.package
        for one in drives
        if one.chip and job_of(one.chip) == "bridgedriver" and one.output == "ho"
    )
    if packages:
        yield Quiet(
            f"the low side of {listed(list(packages))} has not been on yet",
            "the bootstrap capacitor is empty: the high side has no supply",
            PRACTICE,
        )


def quiet_at_low_link(
    links: Sequence[Link], drives: Sequence[Driving]
) -> Iterator[Quiet]:
    """Yield that a controller nobody knows may wait for its link."""
    unknown = next(
        (one.chip for one in drives if one.chip and _unknown(one.chip)), None
    )
    link = next((one for one in links if not one.mains), None)
    if unknown and link:
        yield Quiet(
            f"{link.plus} is well below its nominal volts, or its sense is missing",
            f"{unknown.package} is not known, and many controllers wait for their link",
            PRACTICE,
        )


def _unknown(chip: Part) -> bool:
    return chip.kind.word == "ic"
