"""A section drawn and written: what the command, a notebook and Python all ask for."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from tracegraph.diagnose.verdict import Verdict
from tracegraph.draw.draw import draw
from tracegraph.draw.drawing import Drawing
from tracegraph.draw.overlay import Overlay
from tracegraph.levels.levels import Levels
from tracegraph.meter.profile import Profile
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.stage.stage import Stage
from tracegraph.views.svg import svg as svg_page
from tracegraph.views.svg import svg_of

Writer = Callable[[Drawing, bool], tuple[bytes, ...]]


def svg(
    stage: Stage,
    *,
    readings: bool = False,
    dark: bool = False,
    meter: Profile | str = DEFAULT,
) -> str:
    """Return the picture of a section as SVG; several sheets stand one above the other.

    Args:
        stage: The section.
        readings: Whether the expected readings to ground stand at each net.
        dark: Whether it is drawn on a dark ground.
        meter: The meter that they are read with, or the name or path of one.

    Raises:
        NoDotError: There is no graphviz on this machine.
        UnknownMeterError: There is no such meter.
    """
    profile = meter if isinstance(meter, Profile) else find_meter(meter)
    return svg_of(drawing(stage, profile if readings else None), dark=dark)


def drawing(
    stage: Stage,
    profile: Profile | None = None,
    reference: Stage | None = None,
    verdict: Verdict | None = None,
    levels: Levels | None = None,
) -> Drawing:
    """Return the drawing of a section with what was asked for laid over.

    Args:
        stage: The section.
        profile: With a meter, what it should read stands at each net.
        reference: With a known-good section, what differs from it is marked.
        verdict: With a diagnosis, suspects are marked by their rank.
        levels: With the levels of one state, they stand at each net.

    Raises:
        NoDotError: There is no graphviz on this machine.
        DotError: Graphviz failed.
    """
    found = [*_overlays(stage, profile, reference, verdict)]
    if levels is not None:
        from tracegraph.views.levels_overlay import levels_overlay

        found += [levels_overlay(one, levels.meter) for one in levels.states]
    return draw(stage, tuple(found))


def _overlays(
    stage: Stage,
    profile: Profile | None,
    reference: Stage | None,
    verdict: Verdict | None,
) -> Iterator[Overlay]:
    if verdict is not None:
        from tracegraph.views.suspects_overlay import suspects_overlay

        yield suspects_overlay(verdict, stage)
    if reference is not None:
        from tracegraph.compare.compare import compare
        from tracegraph.views.compared_overlay import compared_overlay

        yield compared_overlay(compare(stage, reference), stage, reference)
    if profile is not None:
        from tracegraph.views.readings_overlay import readings_overlay

        yield readings_overlay(stage, profile)


def _svg(drawing: Drawing, dark: bool) -> tuple[bytes, ...]:  # noqa: FBT001
    return tuple(svg_page(one, dark=dark).encode() for one in drawing.sheets)


def _png(drawing: Drawing, dark: bool) -> tuple[bytes, ...]:  # noqa: FBT001
    from tracegraph.views.png import png

    return tuple(png(one, dark=dark) for one in drawing.sheets)


def _pdf(drawing: Drawing, dark: bool) -> tuple[bytes, ...]:  # noqa: FBT001
    from tracegraph.views.pdf import pdf

    return (pdf(drawing, dark=dark),)


# The files that a drawing becomes, by their ending: one a sheet, but for PDF.
WRITERS: Mapping[str, Writer] = MappingProxyType(
    {".svg": _svg, ".png": _png, ".pdf": _pdf}
)
