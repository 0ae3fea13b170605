"""Titles and names as people say them.

Enters: what a score file holds. Leaves: a title that is no file's name, a name in natural order.
"""

import re

_FILES = (".musicxml", ".xml", ".mxl", ".mei", ".krn", ".kern", ".abc", ".mid", ".midi")
_AFTER_NAME = ("jr", "sr", "arr", "op", "no", "opus")
"""What follows a comma without being a first name."""
_NOBODY = ("music21", "music21 fragment", "composer", "title", "untitled")
"""What programs write where nobody has named anything."""


def own_title(title: str, file: str) -> str:
    """The title on one line; empty where it is the name of a file, which readers put there."""
    said = _first_line(title)
    known = said.casefold()
    is_file = known in _NOBODY or known == file.casefold() or known.endswith(_FILES)
    return "" if is_file else said


def natural_name(name: str) -> str:
    """``Fennimore, Ida`` as ``Ida Fennimore``; anything else as it stands, its first line alone."""
    said = _first_line(name)
    if said.casefold() in _NOBODY:
        return ""
    last, comma, first = said.partition(", ")
    word = re.match(r"\w*", first.casefold())
    is_turned = comma and "," not in first and not re.search(r"[\d(&;]| and | und ", said)
    if not is_turned or (word and word[0] in _AFTER_NAME):
        return said
    return f"{first} {last}"


def _first_line(text: str) -> str:
    lines = [" ".join(line.split()) for line in text.splitlines()]
    return next(filter(None, lines), "")
