"""A section's text from a file: read as bytes, refused where it is no text."""

from pathlib import Path

from tracegraph.notation.source import Source, from_bytes

WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff")  # byte-order marks of UTF-16


class UnreadableError(ValueError):
    """A file cannot be read as a section's text; says why in one sentence."""


def source_of(path: Path) -> Source:
    """Return the text of a file.

    Raises:
        UnreadableError: There is no such file, or it holds no text.
    """
    return checked_source(str(path), bytes_of(path))


def bytes_of(path: Path) -> bytes:
    """Return what a file holds.

    Raises:
        UnreadableError: There is no such file, or it can't be opened.
    """
    if path.is_dir():
        raise UnreadableError(f"{path} is a folder, not a file")
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise UnreadableError(f"there is no file {path}") from None
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or str(fault)
        raise UnreadableError(f"{path} can't be opened: {why.lower()}") from None


def checked_source(name: str, data: bytes) -> Source:
    """Return a text from bytes, refusing what is none.

    Raises:
        UnreadableError: The bytes are empty, or no text.
    """
    if data.startswith(WIDE_MARKS):
        data = data.decode("utf-16", errors="replace").encode()
    if b"\0" in data:
        raise UnreadableError(f"{name} holds no text")
    if not data.strip():
        raise UnreadableError(f"{name} is empty")
    return from_bytes(name, data)
