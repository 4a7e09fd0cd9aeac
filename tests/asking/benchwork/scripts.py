"""Sessions played from lists of lines, with a diagnosis made by hand, so that they are
quick: the board is the gate drive of examples/treadmill-gate-drive.trace.
"""

from pathlib import Path

from tests.views.verdicts import ADVICE, DONE, EMPTY, FOUND, LIFTED, PLAIN
from tracegraph.asking.api import read
from tracegraph.asking.benchwork.session import Session, Tiding, board_of
from tracegraph.diagnose.inquiry import Inquiry
from tracegraph.diagnose.verdict import Advice, Verdict
from tracegraph.meter.profile_file import DEFAULT, find_meter
from tracegraph.stage.reading import Block, Reading
from tracegraph.stage.stage import Stage

ROOT = Path(__file__).parents[3]
STAGE = read(ROOT / "examples" / "treadmill-gate-drive.trace")
PAIR = Advice((PLAIN, LIFTED), "", done=False)
LEG = Advice((LIFTED,), "nothing in place tells more: lift a leg", done=True)
__all__ = ("ADVICE", "DONE", "LEG", "LIFTED", "PAIR", "PLAIN")


def readings_of(stage: Stage) -> list[Reading]:
    """Return the readings of a section's log."""
    blocks = (entry for entry in stage.log if isinstance(entry, Block))
    return [one for block in blocks for one in block.readings]


class Oracle(Inquiry):
    """Says what it was told to say, and remembers what it was asked."""

    def __init__(self, advice: Advice = PAIR) -> None:
        """Take what is always advised."""
        super().__init__(board_of(STAGE), find_meter(DEFAULT, ()))
        self.advised = advice
        self.asked: list[int] = []

    def verdict(self, stage: Stage) -> Verdict:
        """Say that the helper leaks, once there is a reading."""
        readings = readings_of(stage)
        self.asked.append(len(readings))
        return FOUND._replace(readings=tuple(readings)) if readings else EMPTY

    def advice(self, stage: Stage) -> Advice:
        """Say always the same."""
        assert self.asked[-1] == len(readings_of(stage)), "the verdict comes first"
        return self.advised


def played(session: Session, *lines: str) -> list[list[Tiding]]:
    """Return what became of every line, the beginning in front."""
    found = [list(session.begun())]
    return [*found, *(list(session.take(f"{line}\n")) for line in lines)]


def log_of(folder: Path) -> list[str]:
    """Return the lines of the log's file, without the remark on top."""
    text = (folder / "left.readings.trace").read_text("utf-8")
    return [line.strip() for line in text.splitlines()[1:]]
