"""Octave lines over several voices, as verovio must be told of them.

Verovio (seen in 6.4.1) moves the notes that stand in the file between the ends of a line, and not
those that sound between them: it draws the second voice of the measure in which a line ends where
it would stand without the line, and one that stands in the file after the beginning but sounds
before it as if it were under the line. Such notes are written for it in another octave, so that
they are drawn where they belong.

Enters: a sheet and its MusicXML. Leaves: MusicXML for verovio, and for nobody else.
"""

import re
from collections import defaultdict
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from engrave.music.sheet import Moment, Sheet

_NUMBERS = re.compile(r"\d+")
_WAYS = {"down": 1, "up": -1}
_KINDS = {"octave-up": 1, "octave-down": -1}


def for_drawing(sheet: Sheet, score: bytes) -> bytes:
    """``score``, the MusicXML of ``sheet``, so that verovio draws all notes at their heights."""
    if not any(span.kind in _KINDS for span in sheet.spans):
        return score
    root = ElementTree.fromstring(score)
    moved: dict[str, int] = defaultdict(int)
    is_right = True
    for element in root.iter():
        if element.tag == "direction":
            for shift in element.iter("octave-shift"):
                moved[_staff(element)] = _way(shift) * _octaves(int(shift.get("size", "8")))
        elif element.tag == "note" and (octave := element.find("pitch/octave")) is not None:
            over = moved[_staff(element)] - _under(sheet, element.get("id", ""))
            octave.text = str(int(octave.text or "") + over)
            is_right = is_right and not over
    if is_right:
        return score
    changed: bytes = ElementTree.tostring(root, encoding="utf-8")
    return changed


def _way(shift: Element) -> int:
    return _WAYS.get(shift.get("type", ""), 0)


def _octaves(size: int) -> int:
    return (size - 1) // 7


def _staff(element: Element) -> str:
    return element.findtext("staff") or "1"


def _under(sheet: Sheet, id: str) -> int:
    """By how many octaves the lines that stand over a note bring it down; up where below 0."""
    bar, index, _ = map(int, _NUMBERS.findall(id))
    event = sheet.bars[bar].events[index]
    now = Moment(bar, event.offset)
    return sum(
        _KINDS[span.kind] * _octaves(span.size)
        for span in sheet.spans
        if span.kind in _KINDS and span.staff == event.staff and span.start <= now < span.end
    )
