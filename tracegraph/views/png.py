"""A sheet as PNG: its SVG rendered by a library that needs nothing of the system."""

from contextlib import ExitStack
from importlib.resources import as_file, files

from tracegraph.draw.drawing import Sheet
from tracegraph.views.strokes import FAMILY, FONTS
from tracegraph.views.svg import svg

SCALE = 2.0  # pixels of the picture for one of the drawing: sharp in print too


class NoPngError(Exception):
    """This machine has no renderer."""

    def __init__(self) -> None:
        super().__init__(
            "a PNG needs the package resvg-py, which is not there for this machine; "
            "SVG and PDF need nothing more"
        )


def png(sheet: Sheet, *, dark: bool = False, scale: float = SCALE) -> bytes:
    """Return one sheet as a PNG file.

    Args:
        sheet: The sheet.
        dark: Whether it stands on a dark ground.
        scale: Pixels of the picture for one of the drawing.

    Raises:
        NoPngError: There is no renderer for this machine.
    """
    return rendered(svg(sheet, dark=dark), scale=scale)


def rendered(picture: str, *, scale: float = SCALE) -> bytes:
    """Return an SVG of ours as a PNG file, in the shipped font and no other.

    Raises:
        NoPngError: There is no renderer for this machine.
    """
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        raise NoPngError from None
    with ExitStack() as open_files:
        place = files("tracegraph.draw") / "font"
        fonts = [open_files.enter_context(as_file(place / one)) for one in FONTS]
        return svg_to_bytes(
            svg_string=picture,
            zoom=scale,
            skip_system_fonts=True,
            font_files=[str(path) for path in fonts],
            font_family=FAMILY.split(",")[0],
        )
