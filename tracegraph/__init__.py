"""What should the meter read? In-circuit readings of a hand-traced board section.

    import tracegraph

    stage = tracegraph.read("belt-motor.trace")
    for one in tracegraph.expect(stage, "GATE", "COM", mode="diode"):
        print(one.display, one.reason)

Names are imported when they are first used, so that importing the package is cheap.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tracegraph.asking.api import (
        compared,
        expect,
        next_reading,
        read,
        sheet,
        suspects,
    )
    from tracegraph.asking.bench import BenchError
    from tracegraph.asking.comparing import Compared
    from tracegraph.asking.probing import PointError
    from tracegraph.asking.sources import UnreadableError
    from tracegraph.compare.compare import CompareError
    from tracegraph.compare.comparison import Comparison, Difference
    from tracegraph.diagnose.verdict import Advice, Verdict
    from tracegraph.diagnostics import Problem, Severity, Span
    from tracegraph.meter.expected import Bound, Case, Expected
    from tracegraph.meter.profile import Profile
    from tracegraph.meter.profile_file import UnknownMeterError
    from tracegraph.meter.sheet import SheetRow
    from tracegraph.quantity import Origin, Quantity
    from tracegraph.stage.part import Part, Pin
    from tracegraph.stage.reading import Condition, Mode
    from tracegraph.stage.stage import Stage
    from tracegraph.views.picture import svg

__all__ = [
    "Advice",
    "BenchError",
    "Bound",
    "Case",
    "CompareError",
    "Compared",
    "Comparison",
    "Condition",
    "Difference",
    "Expected",
    "Mode",
    "Origin",
    "Part",
    "Pin",
    "PointError",
    "Problem",
    "Profile",
    "Quantity",
    "Severity",
    "SheetRow",
    "Span",
    "Stage",
    "UnknownMeterError",
    "UnreadableError",
    "Verdict",
    "compared",
    "expect",
    "next_reading",
    "read",
    "sheet",
    "suspects",
    "svg",
]

_HOMES = {
    "tracegraph.asking.api": (
        "compared",
        "expect",
        "next_reading",
        "read",
        "sheet",
        "suspects",
    ),
    "tracegraph.asking.comparing": ("Compared",),
    "tracegraph.compare.compare": ("CompareError",),
    "tracegraph.compare.comparison": ("Comparison", "Difference"),
    "tracegraph.diagnose.verdict": ("Advice", "Verdict"),
    "tracegraph.asking.bench": ("BenchError",),
    "tracegraph.diagnostics": ("Problem", "Severity", "Span"),
    "tracegraph.meter.expected": ("Bound", "Case", "Expected"),
    "tracegraph.meter.profile": ("Profile",),
    "tracegraph.meter.profile_file": ("UnknownMeterError",),
    "tracegraph.meter.sheet": ("SheetRow",),
    "tracegraph.asking.probing": ("PointError",),
    "tracegraph.quantity": ("Origin", "Quantity"),
    "tracegraph.asking.sources": ("UnreadableError",),
    "tracegraph.stage.part": ("Part", "Pin"),
    "tracegraph.stage.reading": ("Condition", "Mode"),
    "tracegraph.stage.stage": ("Stage",),
    "tracegraph.views.picture": ("svg",),
}


def __getattr__(name: str) -> object:
    """Return a public name, imported at its first use."""
    for home, names in _HOMES.items():
        if name in names:
            found = getattr(import_module(home), name)
            _let_sections_show()
            return found
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def _let_sections_show() -> None:
    """Give sections, once there may be some, what draws them in a notebook."""
    home = sys.modules.get("tracegraph.stage.stage")
    if home is not None:
        home.Stage.painter = _painted


def _painted(stage: "Stage") -> str:
    from tracegraph.views.picture import svg

    return svg(stage)


def __dir__() -> list[str]:
    """Return the public names."""
    return __all__
