"""The text of a `.trace` file, and where in it a place lies."""

from typing import NamedTuple


class Source(NamedTuple):
    r"""A source text.

    Attributes:
        name: File name as given, or a word for text that came from no file.
        text: The text with `\n` line ends and no byte-order mark.
    """

    name: str
    text: str

    def line(self, number: int) -> str:
        """Return a line by its number, counted from 1; empty past the end."""
        lines = self.text.split("\n")
        return lines[number - 1] if 0 < number <= len(lines) else ""


def from_bytes(name: str, data: bytes) -> Source:
    """Return a source from a file's bytes: BOM, CRLF and stray encodings are fine.

    Bytes that are no UTF-8 are read as Windows-1252, the bench computer's other habit.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
    return from_text(name, text)


def from_text(name: str, text: str) -> Source:
    """Return a source from a text, with its line ends made equal."""
    return Source(name, text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n"))
