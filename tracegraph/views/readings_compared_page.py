"""Two logs of readings side by side, worst first."""

from collections.abc import Sequence

from tracegraph.compare.by_readings import PairCompared
from tracegraph.views.expected_page import MODES
from tracegraph.views.page import Line, Page, Table, Tone, caution, title

HEAD = ("red", "black", "mode", "good", "here", "apart", "healthy", "x2 rule", "parts")


def readings_compared_page(
    heading: str, pairs: Sequence[PairCompared], cautions: Sequence[str] = ()
) -> Page:
    """Return readings that both logs have, worst first.

    Args:
        heading: What is compared.
        pairs: The readings.
        cautions: What to heed before probing.
    """
    if not pairs:
        return (title(heading), Line("No pair was read on both."))
    off = sum(one.differs for one in pairs)
    told = f"{off} of {len(pairs)} readings differ." if off else "No reading differs."
    return (
        title(heading),
        Line(told),
        *map(caution, cautions),
        Table(HEAD, tuple(_row(one) for one in pairs)),
        Line(
            "healthy: what parts differ among themselves, the meter's accuracy left out; "
            "x2 rule: the trade's, within double or half.",
            Tone.FAINT,
        ),
    )


def _row(one: PairCompared) -> tuple[str, ...]:
    rule = (
        "" if one.double_or_half is None else "kept" if one.double_or_half else "broken"
    )
    return (
        one.there[0],
        one.there[1],
        MODES[one.mode],
        one.good,
        f"{one.suspect} !" if one.differs else one.suspect,
        _apart(one),
        _window(one),
        rule,
        " ".join(one.parts),
    )


def _apart(one: PairCompared) -> str:
    if one.volts is not None:
        return f"{one.volts * 1e3:+.0f} mV"
    return f"x {one.ratio:.3g}" if one.ratio is not None else ""


def _window(one: PairCompared) -> str:
    if one.low is None or one.high is None:
        return ""
    if one.volts is not None:
        return f"{one.low * 1e3:+.0f} to {one.high * 1e3:+.0f} mV"
    return f"x {one.low:.3g} to {one.high:.3g}"
