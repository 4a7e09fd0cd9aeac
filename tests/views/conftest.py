"""Sessions at the bench for the pages that show them."""

from tests.asking.benchwork.conftest import opened

__all__ = ("opened",)
