"""What is said when a picture has been written."""

from collections.abc import Sequence
from pathlib import Path

from tracegraph.views.page import Page, Verbatim, caution


def drawn_page(files: Sequence[Path], cautions: Sequence[str]) -> Page:
    """Return the files that were written, and what to heed before probing."""
    told = (Verbatim(f"drawn: {path}") for path in files)
    return (*told, *map(caution, cautions))
