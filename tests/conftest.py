"""Golden files, and how many examples hypothesis draws."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

GOLDEN = Path(__file__).parent / "golden"

settings.register_profile("dev", max_examples=50, deadline=None)
# The same examples in every run: more of them would find nothing that is new. Fresh
# ones are drawn on every desk ("dev"), and thousands where somebody asks ("deep").
settings.register_profile(
    "ci", max_examples=100, derandomize=True, print_blob=True, deadline=None
)
settings.register_profile("deep", max_examples=5000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "dev"))


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add the one flag that refreshes golden files."""
    parser.addoption(
        "--update-golden",
        action="store_true",
        help="write what the tests got into tests/golden, to be reviewed in the diff",
    )


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[str, str], None]:
    """Return a check of a text against the file of that name in tests/golden."""

    def check(name: str, text: str) -> None:
        path = GOLDEN / name
        if request.config.getoption("--update-golden"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, "utf-8", newline="\n")
        assert path.is_file(), f"no golden file {name}; run with --update-golden"
        assert text == path.read_text("utf-8")

    return check
