"""What would keep a reader busy for good, found before any reader begins.

Enters: the text or the tree of a score file. Raises ``EngraveError`` at the first thing in it that
cannot be meant: a tree too deep, parts by the thousand, a division or a meter of a billion. Knows
no notes. What is odd in one measure alone is left to those who can leave out that measure.
"""

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

from engrave.errors import EngraveError
from engrave.score.formats.mei_measures import MEI

DEEPEST = 100
"""Elements inside each other; scores nest a fifth of that."""
MOST_PARTS = 128
"""Parts, staves or spines of a file; a large orchestra has half of them."""
MOST_MEASURES = 10_000
"""Measures of a part; a long sonata has a tenth."""
MOST_MEASURES_ELSEWHERE = 4_000
"""The same for the formats whose readers are slower."""
MOST_DIVISIONS = 10**7
"""Of a quarter; programs that divide it by all numbers to eleven need 27,720."""
LARGEST_UNIT = 4096
"""Under a meter."""
MOST_SHARPS = 14
"""Of a key, or flats: each letter altered twice."""
LONGEST_LINE = 10_000
"""Letters of a line of ABC."""
BEYOND_READERS = re.compile(r">\s*-?\d{10,}(?:\.\d*)?\s*</")
"""A number at which other readers count for minutes."""

_MEND = "mend it in the score"
_NUMBER = re.compile(r"\s*(-?\d+)(?:\.0*)?\s*")
_ODD = re.compile(r"\d{10,}|([^\s\w!*=-])\1{64,}|([A-Za-z])\2{64,}")
"""Numbers and signs in a row as they stand in a line of kern or ABC."""
_UNITS = re.compile(r"^\*M\d+/(\d+)|\t\*M\d+/(\d+)|^[ML]:\s*\d+/(\d+)|\[[ML]:\s*\d+/(\d+)")
_VOICE = re.compile(r"^V:\s*(\S+)|\[V:\s*([^\s\]]+)")
_DIGITS = 12
_ELEMENTS = {
    "divisions": (1, MOST_DIVISIONS),
    "beat-type": (1, LARGEST_UNIT),
    "fifths": (-MOST_SHARPS, MOST_SHARPS),
    "staves": (0, MOST_PARTS),
}
_ATTRIBUTES = {
    "meter.unit": (1, LARGEST_UNIT),
    "unit": (1, LARGEST_UNIT),
    "ppq": (1, MOST_DIVISIONS),
}


def refuse_absurd_tree(root: Element, name: str) -> None:
    """Raise where MusicXML or MEI holds what no score does."""
    _refuse_deep(root, name)
    own = (sum(1 for _ in part.iterfind("measure")) for part in root.iterfind("part"))
    _refuse_many_parts(max(_count(root, "part"), _count(root, f"{MEI}staffDef")), name)
    _refuse_many_measures(max(own, default=0), MOST_MEASURES, name)
    _refuse_many_measures(_count(root, f"{MEI}measure"), MOST_MEASURES_ELSEWHERE, name)
    for key, text, least, most in _numbers(root):
        match = _NUMBER.fullmatch(text)
        if match:
            _refuse_beyond(key, match[1], least, most, name)


def _numbers(root: Element) -> Iterator[tuple[str, str, int, int]]:
    """What is counted for more than one measure: what it is called, its text, its bounds."""
    for element in root.iter():
        if element.tag in _ELEMENTS:
            yield element.tag, element.text or "", *_ELEMENTS[element.tag]
        for key, text in element.items():
            if key in _ATTRIBUTES:
                yield key, text, *_ATTRIBUTES[key]


def refuse_absurd_text(text: str, name: str) -> None:
    """Raise where kern or ABC holds what no score does, with the line."""
    lines = text.split("\n")
    is_kern = any(line.startswith("**") for line in lines[:200])
    for number, line in enumerate(lines, start=1):
        for match in _UNITS.finditer(line):
            unit = next(filter(None, match.groups()))
            _refuse_beyond(match[0].strip()[:4].rstrip(unit), unit, 1, LARGEST_UNIT, name)
        if line.startswith(("!", "%")) or (is_kern and line[:1] not in "*="):
            continue  # a comment; kern's notes are their measure's affair
        odd = _ODD.search(line)
        if odd:
            raise EngraveError(
                f"{name}: line {number} cannot be meant: {odd[0][:12]!r} and so on", hint=_MEND
            )
        if not is_kern and len(line) > LONGEST_LINE:
            raise EngraveError(
                f"{name}: line {number} has {len(line)} letters, more than {LONGEST_LINE}",
                hint="break it at a bar line",
            )
    if is_kern:
        _refuse_many_parts(max(line.count("\t") for line in lines) + 1, name)
        bars = sum(1 for line in lines if line.startswith("="))
    else:
        voices = {match[1] or match[2] for line in lines for match in _VOICE.finditer(line)}
        _refuse_many_parts(len(voices), name)
        bars = text.count("|") // max(len(voices), 1)
    _refuse_many_measures(bars, MOST_MEASURES_ELSEWHERE, name)


def _refuse_deep(root: Element, name: str) -> None:
    level, depth = [root], 0
    while level:
        depth += 1
        if depth > DEEPEST:
            raise EngraveError(
                f"{name} is refused: its elements stand more than {DEEPEST} deep in each other",
                hint="no score is written so; export it again",
            )
        level = [child for element in level for child in element]


def _count(root: Element, tag: str) -> int:
    return sum(1 for _ in root.iter(tag))


def _refuse_beyond(key: str, number: str, least: int, most: int, name: str) -> None:
    if len(number) > _DIGITS or not least <= int(number) <= most:
        raise EngraveError(f"{name}: {key} {number[:_DIGITS]} cannot be meant", hint=_MEND)


def _refuse_many_parts(count: int, name: str) -> None:
    if count > MOST_PARTS:
        raise EngraveError(
            f"{name} has {count} parts, more than {MOST_PARTS}",
            hint="export the piano's part as a score of its own",
        )


def _refuse_many_measures(count: int, most: int, name: str) -> None:
    if count > most:
        raise EngraveError(
            f"{name} has {count} measures, more than {most}",
            hint="export the movement that is practised as a score of its own",
        )
