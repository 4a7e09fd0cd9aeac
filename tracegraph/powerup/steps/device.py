"""Step two: the power device out, its gate emptied."""

from collections.abc import Iterator

from tracegraph.display import written
from tracegraph.listing import listed
from tracegraph.powerup.driving import gate_resistors
from tracegraph.powerup.facts import Facts
from tracegraph.powerup.record import Step
from tracegraph.powerup.standin import input_capacitance
from tracegraph.quantity import Origin
from tracegraph.stage.jobs import gate_of, source_of
from tracegraph.stage.part import Part


def device(facts: Facts) -> Step | None:
    """Return how the power devices are taken out of the way, or None without any."""
    if not facts.drives:
        return None
    refs = [one.device.ref for one in facts.drives]
    return Step(
        "device",
        f"Power device out: {listed(refs)}",
        cautions=("Plug out and link discharged, as in the step before.",)
        if facts.dangerous
        else (),
        do=tuple(_do(facts, refs)),
        need=(
            f"{listed(refs)} out, or gate joined to {_foot_word(facts)}",
            "no reading of the step before gone worse",
        ),
        stop=(
            f"{listed(refs)} short in the hand between any two legs: look to the driver",
        ),
        unknown=tuple(
            f"what drives {one.device.ref} is not traced: trace it before the drive "
            "is looked at"
            for one in facts.drives
            if not one.chip and not one.inputs
        ),
    )


def _foot_word(facts: Facts) -> str:
    words = {"emitter" if "e" in one.device.pins else "source" for one in facts.drives}
    return " or ".join(sorted(words))


def _do(facts: Facts, refs: list[str]) -> Iterator[str]:
    yield (
        f"take {listed(refs)} out; join all legs of each before measuring it in the "
        "hand, a charged gate makes a good one look short"
    )
    ways = [
        f"{listed([one.ref for one in lifted])} for {drive.device.ref}"
        for drive in facts.drives
        if (lifted := gate_resistors(facts.stage, drive.device))
    ]
    if ways:
        yield (
            f"if one can't come out: lift its gate resistors ({listed(ways)}) and join "
            f"its gate to its {_foot_word(facts)}; an open gate turns on by itself"
        )
    yield from stand_ins(facts)


def stand_ins(facts: Facts) -> Iterator[str]:
    """Yield the capacitors that take the gates' places, so that edges look right."""
    for words in dict.fromkeys(stand_in(one.device) for one in facts.drives):
        same = [one.device for one in facts.drives if stand_in(one.device) == words]
        if words and same:
            refs = listed([one.ref for one in same])
            ends = listed([f"{gate_of(one)} to {source_of(one)}" for one in same])
            yield (
                f"in place of {refs} put {words}, from {ends}: without it every edge "
                "looks good"
            )


def stand_in(part: Part) -> str:
    """Return the capacitor that is as much as a gate, or empty where none is known."""
    farads = input_capacitance(part)
    if not (gate_of(part) and source_of(part)) or not farads or farads.typical is None:
        return ""
    usual = ", usual for its kind" if farads.origin is Origin.USUAL else ""
    return f"{written(farads.typical, 'F')} (as much as the gate{usual})"
