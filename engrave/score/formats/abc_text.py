"""The text of an ABC file, as far as it is music.

Enters: the text. Leaves: its first tune, which is what is read of it, and that without what is said
beside the music, line by line. Knows no notes.
"""

import re

_TUNE = re.compile(r"^\s*X:", re.MULTILINE)
_SAID = re.compile(r"[ABCDFGHNORSTWZrwX]:(?![|:])")
"""Fields of a tune that are for people (ABC 2.1, section 3): who wrote it down, when, its words."""


def tunes_in(text: str) -> int:
    """How many tunes there are, at least one."""
    return max(len(_TUNE.findall(text)), 1)


def first_tune(text: str) -> str:
    """The first tune, with what stands before it."""
    begun = list(_TUNE.finditer(text))
    return text if len(begun) < 2 else text[: begun[1].start()]


def without_words(text: str) -> str:
    """Empty lines in the place of words, so that a date is not taken for a length."""
    return "\n".join("" if _SAID.match(line) else line for line in text.split("\n"))
