"""What a file is that was given as marks and is none, by its first bytes and its ending.

Enters: bytes, a path. Leaves: the error that says what it is and what to do, or None.
"""

import re
from pathlib import Path

from engrave.errors import EngraveError, Source
from engrave.machine import endings
from engrave.machine.typed import as_typed

_PLAIN = "marks are plain text: write them in a text editor and save them as UTF-8, ending in .yaml"
_WORDS = (
    "save it from there as plain text (UTF-8) with the ending .yaml, or write it in a text editor"
)
_BEGINNINGS: tuple[tuple[bytes, str, str], ...] = (
    (b"{\\rtf", "this is formatted text (RTF), not plain text", _WORDS),
    (b"\xd0\xcf\x11\xe0", "this is a word processor's document, not plain text", _WORDS),
    (b"%PDF", "this is a PDF, not plain text", _PLAIN),
    (b"\x89PNG", "this is a picture, not plain text", _PLAIN),
    (b"\xff\xd8\xff", "this is a picture, not plain text", _PLAIN),
    (b"MThd", "this is a MIDI file, not marks", "for a first marks file: engrave new {name}"),
    (b"\xff\xfe", "this is UTF-16 text", "save the file as UTF-8"),
    (b"\xfe\xff", "this is UTF-16 text", "save the file as UTF-8"),
)
_ABOVE = rb"(?:\s|#[^\r\n]*(?=[\r\n]))*"
"""Comments and empty lines, none of which can be taken for two."""
_LOG = re.compile(_ABOVE + rb"log: *[0-9]+[ \t]*(?:#[^\r\n]*)?[\r\n]" + _ABOVE + rb"entries:")
"""How a log begins; marks name theirs by a file's name."""
_DOCUMENTS = (b"word/document.xml", b"mimetypeapplication/vnd.oasis.opendocument")
"""Names near the beginning of the archives that word processors write (ECMA-376, ISO 26300)."""


def no_marks(data: bytes, path: Path) -> EngraveError | None:
    """The error for a file that is plainly something else than marks."""
    source = Source(str(path))
    begin = data[:4096].lstrip(b"\xef\xbb\xbf")
    if path.suffix.lower() in endings.SCORES or _is_score(begin):
        hint = f"for a first marks file of it: engrave new {as_typed(path.name)}"
        return EngraveError("this is a score, not a marks file", source, hint)
    for beginning, message, hint in _BEGINNINGS:
        if begin.startswith(beginning):
            return EngraveError(message, source, hint.format(name=path.name))
    if begin.startswith(b"PK\x03\x04"):
        if any(name in data for name in _DOCUMENTS):
            return EngraveError(
                "this is a word processor's document, not plain text", source, _WORDS
            )
        return EngraveError("this is a packed file, not plain text", source, _PLAIN)
    if _LOG.match(begin):
        hint = f"name the marks that name it, as in log: {path.name}"
        return EngraveError("this is a log, not a marks file", source, hint)
    head = begin.lstrip().lower()
    if head.startswith((b"<!doctype html", b"<html")):
        return EngraveError("this is a web page, not plain text", source, _PLAIN)
    return None


def _is_score(begin: bytes) -> bool:
    head = begin.lstrip()
    return (
        head.startswith((b"<?xml", b"<score-", b"<mei", b"<!DOCTYPE score"))
        or head.startswith((b"**kern", b"!!!"))
        or (head.startswith(b"X:") and b"\nK:" in begin)
    )
