"""Quantities made of other quantities: the law at its typical values and corners."""

from collections.abc import Callable
from itertools import product

from tracegraph.quantity import Origin, Quantity


def through(law: Callable[..., float], unit: str, *inputs: Quantity) -> Quantity:
    """Return what `law` makes of its inputs, with the interval their corners give.

    The law must rise or fall steadily with each input. The result is unknown when
    one input is, and usual when one input is only usual.

    >>> from tracegraph.quantity import exact
    >>> through(
    ...     lambda volts, amperes: volts / amperes, "ohm", exact(10, "V"), exact(2, "A")
    ... ).typical
    5.0
    """
    corners = [law(*corner) for corner in product(*((q.low, q.high) for q in inputs))]
    known = [q.typical for q in inputs if q.typical is not None]
    typical = law(*known) if len(known) == len(inputs) else None
    return Quantity(typical, min(corners), max(corners), unit, _origin(inputs))


def _origin(inputs: tuple[Quantity, ...]) -> Origin:
    origins = {quantity.origin for quantity in inputs}
    if Origin.UNKNOWN in origins or any(not quantity.known for quantity in inputs):
        return Origin.UNKNOWN
    return Origin.USUAL if Origin.USUAL in origins else inputs[0].origin
