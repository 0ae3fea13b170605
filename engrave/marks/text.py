"""From the bytes of a marks file to its text: small, UTF-8, and nothing but text.

Enters: a path. Leaves: the text. Knows nothing of YAML.
"""

import re
from collections.abc import Collection
from pathlib import Path

from engrave.errors import EngraveError, Source
from engrave.machine import endings
from engrave.machine.missing import instead
from engrave.marks.kinds import no_marks

MOST_BYTES = 1_000_000

_NOT_TEXT = re.compile(
    "[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
"""What XML 1.0 cannot hold (W3C, section 2.2, ``Char``); control characters, byte order marks."""


def read_bytes(
    path: Path,
    most: int = MOST_BYTES,
    named: Collection[str] = endings.MARKS,
    too_large: str = "split it into two booklets",
) -> bytes:
    """What the file at ``path`` holds; raises ``EngraveError`` where it cannot be read."""
    whole = Source(str(path))
    try:
        if not path.is_file():
            raise EngraveError("there is no such file", whole, instead(path, named))
        with path.open("rb") as file:
            data = file.read(most + 1)
    except OSError as error:
        message, hint = f"the file cannot be read: {error.strerror}", "look at its permissions"
        raise EngraveError(message, whole, hint) from None
    if len(data) > most:
        raise EngraveError(f"the file is larger than {most:,} bytes", whole, too_large)
    return data


def read_text(path: Path) -> str:
    """The text of the file at ``path``; raises ``EngraveError`` at the first byte that is none."""
    data = read_bytes(path)
    if other := no_marks(data, path):
        raise other
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode("utf-8", "replace")
        message, hint = "this is not UTF-8 text", "save the file as UTF-8"
        raise EngraveError(message, _after(before, path), hint) from None
    place = find_control(text)
    if place is not None:
        message = f"{name_of(text[place])} is not text"
        raise EngraveError(message, _after(text[:place], path), "delete it")
    return text


def find_control(text: str) -> int | None:
    """Where the first character stands that is not text, if there is one."""
    match = _NOT_TEXT.search(text)
    return match.start() if match else None


def name_of(character: str) -> str:
    """A character by its number, for those that cannot be shown."""
    return f"the character U+{ord(character):04X}"


def _after(before: str, path: Path) -> Source:
    lines = re.split("\r\n|\r|\n", before)
    return Source(str(path), len(lines), len(lines[-1]) + 1)
