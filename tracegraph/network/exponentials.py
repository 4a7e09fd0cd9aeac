"""Where the numbers of all exponentials lie: diodes', and both of every transistor."""

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

EMITTER_SLOPE = 0.05  # volts a decade of an emitter-base breakdown


class Exponentials(NamedTuple):
    """The junctions of a circuit as one table, so that they are worked out at once.

    First those of diodes, then base-emitter, then base-collector ones. Only the last
    do not break down: what tells of that ends before them.

    Attributes:
        drop: Places of the drops in a value vector.
        slope: Places of the slopes, in volts a decade.
        leak: Places of the leaks.
        breakdown: Places of the breakdown voltages.
        at: Amperes at the drops.
        broken_at: Amperes at the breakdown voltages.
        broken_slope: Slopes of the breakdowns, in volts a decade.
    """

    drop: NDArray[np.intp]
    slope: NDArray[np.intp]
    leak: NDArray[np.intp]
    breakdown: NDArray[np.intp]
    at: NDArray[np.float64]
    broken_at: NDArray[np.float64]
    broken_slope: NDArray[np.float64]


def exponentials(
    columns: Mapping[str, slice], fixed: Mapping[str, NDArray[np.float64]]
) -> Exponentials:
    """Return the table of a circuit's junctions.

    Args:
        columns: Where each parameter of a class lies in a value vector.
        fixed: The numbers without spread.
    """

    def places(field: str, times: int = 2) -> NDArray[np.intp]:
        diodes, bipolars = (
            np.arange(cut.start, cut.stop)
            for cut in (columns[f"Junction.{field}"], columns[f"Transistor.{field}"])
        )
        return np.concatenate([diodes, *[bipolars] * times])

    at, broken_at = fixed["Transistor.drop.at"], fixed["Transistor.breakdown.at"]
    emitters = np.full_like(at, EMITTER_SLOPE)
    return Exponentials(
        places("drop"),
        places("slope"),
        places("leak"),
        places("breakdown", 1),
        np.concatenate([fixed["Junction.drop.at"], at, at]),
        np.concatenate([fixed["Junction.breakdown.at"], broken_at]),
        np.concatenate([fixed["Junction.breakdown_slope"], emitters]),
    )
