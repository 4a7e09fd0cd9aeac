"""Sections with something dangerous in them, and the examples, read once."""

from functools import cache
from pathlib import Path

import tracegraph
from tracegraph.powerup.link.find import dc_link
from tracegraph.powerup.link.record import DcLink, Link
from tracegraph.stage.stage import Stage

EXAMPLES = Path(__file__).parents[2] / "examples"


def section(*lines: str) -> Stage:
    """Return the section that these lines describe; every line must be understood."""
    stage = tracegraph.read("\n".join(("ground COM", *lines, "")))
    assert not [one for one in stage.problems if one.severity == "error"]
    return stage


def links(*lines: str) -> DcLink:
    """Return the links of these lines."""
    return dc_link(section(*lines))


def only(*lines: str) -> Link:
    """Return the one link that these lines have."""
    (found,) = links(*lines).links
    return found


@cache
def example(name: str) -> Stage:
    """Return an example."""
    return tracegraph.read(EXAMPLES / f"{name}.trace")


@cache
def links_of(name: str) -> DcLink:
    """Return an example's links."""
    return dc_link(example(name))
