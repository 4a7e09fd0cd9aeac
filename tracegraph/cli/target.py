"""Where a picture is written: a file by its ending, one a sheet, or standard output."""

import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from tracegraph.cli.refusal import Refusal
from tracegraph.nearest import did_you_mean

STANDARD = "-"  # standard input, and output


class Target(NamedTuple):
    """Where a picture goes.

    Attributes:
        path: The file; None is standard output.
        ending: What it is written as, such as `.svg`.
        source: The section's own file, which is never written over.
    """

    path: Path | None
    ending: str
    source: str

    def write(self, pages: Sequence[bytes]) -> list[Path]:
        """Write the pages and return the files: `board-1.svg` and on if several.

        Raises:
            Refusal: A file can't be written, or is the section's own.
        """
        if self.path is None:
            sys.stdout.flush()
            sys.stdout.buffer.write(b"".join(pages))
            return []
        paths = list(_numbered(self.path, len(pages)))
        for path, page in zip(paths, pages, strict=True):
            self._write(path, page)
        return paths

    def _write(self, path: Path, page: bytes) -> None:
        try:
            if _same(path, Path(self.source)):
                raise Refusal(f"{path} is the section itself: name another with -o")
            path.write_bytes(page)
        except OSError as fault:
            raise Refusal(f"{path} can't be written: {_reason(fault)}") from None


def target_of(file: str, out: str | None, endings: Sequence[str]) -> Target:
    """Return where a picture goes.

    Without a name it is the section's, in the current folder; a section from standard
    input goes to standard output.

    Args:
        file: The section's file as asked for.
        out: Where to as asked for, or None.
        endings: What can be written, the usual first.

    Raises:
        Refusal: A file of this ending can't be written.
    """
    usual = endings[0]
    if out == STANDARD or (out is None and file == STANDARD):
        return Target(None, usual, file)
    path = Path(out) if out else Path(Path(file).stem + usual)
    ending = path.suffix.lower()
    if ending not in endings:
        hint = did_you_mean(ending, endings) or f"; known: {', '.join(endings)}"
        what = f"a {ending} file" if ending else "a file without an ending"
        raise Refusal(f"{path}: {what} can't be written{hint}")
    return Target(path, ending, file)


def _same(one: Path, other: Path) -> bool:
    return one.exists() and other.exists() and one.samefile(other)


def _numbered(path: Path, count: int) -> Iterator[Path]:
    if count == 1:
        yield path
        return
    for number in range(1, count + 1):
        yield path.with_name(f"{path.stem}-{number}{path.suffix}")


def _reason(fault: OSError) -> str:
    """Return why a file can't be written, in plain words."""
    match fault:
        case FileNotFoundError():
            return "there is no such folder"
        case PermissionError():
            return "it is not allowed here"
        case IsADirectoryError():
            return "it is a folder"
        case _:
            return fault.strerror or str(fault)
