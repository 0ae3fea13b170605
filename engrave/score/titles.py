"""Titles and names as people say them.

Enters: what a score file holds, or a teacher writes. Leaves: a title that is no file's name, a
name in natural order, the number of a movement.
"""

import re
from unicodedata import category

from engrave.machine import endings

_AFTER_NAME = ("jr", "sr", "arr", "op", "no", "opus")
"""What follows a comma without being a first name."""
_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII")
_NO_TEXT = ("Cc", "Cs")
"""Control characters and halves of pairs, which no marks file may hold (Unicode, UAX #44)."""
_NOBODY = ("music21", "music21 fragment", "composer", "title", "untitled")
"""What programs write where nobody has named anything."""


def own_title(title: str, file: str) -> str:
    """The title on one line; empty where it is the name of a file, which readers put there."""
    said = _first_line(title)
    known = said.casefold()
    is_file = known in _NOBODY or known == file.casefold() or known.endswith(endings.SCORES)
    return "" if is_file else said


def title_of_file(stem: str) -> str:
    """What a file's name says in words: ``maple_leaf_rag`` is ``Maple leaf rag``."""
    parted = re.sub(r"(?<=[^\W\d_]{4})(?=\d+(?:[_-]|$))", " ", stem)
    words = re.sub(r"(?<=[^\W\d_A-Z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])", " ", parted)
    said = on_one_line(re.sub(r"_|(?<=\w)-(?=[^\W\d])", " ", words))
    return said[:1].upper() + said[1:]


def piece_in_work(work: str, movement: str) -> str:
    """The piece with the collection or sonata that it is part of: ``Hedge Songs: The Lark``.

    MusicXML 4.0 has both, ``work-title`` and ``movement-title``; many files have one, or one twice.
    """
    work, movement = own_title(work, ""), own_title(movement, "")
    if _is_said(movement, work):
        return work
    return movement if _is_said(work, movement) else f"{work}: {movement}"


def _is_said(words: str, title: str) -> bool:
    return not words or bool(re.search(rf"(?<!\w){re.escape(words)}(?!\w)", title, re.IGNORECASE))


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


def movement_number(movement: int | str) -> int | None:
    """The number, from 1, that ``movement`` names in digits or as a Roman numeral."""
    text = str(movement).strip().rstrip(".")
    if text.isdecimal():
        return int(text)
    return _ROMAN.index(text.upper()) + 1 if text.upper() in _ROMAN else None


def on_one_line(text: str) -> str:
    """Without line ends, runs of spaces, and characters that are no text."""
    said = (each for each in text if each.isspace() or category(each) not in _NO_TEXT)
    return " ".join("".join(said).split())


def _first_line(text: str) -> str:
    return next(filter(None, map(on_one_line, text.splitlines())), "")
