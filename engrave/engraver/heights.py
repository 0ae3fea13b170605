"""Notes that verovio would draw at the height of others, as it must be told of them.

Verovio (seen in 6.4.1) moves the notes that stand in the file between the ends of an octave line,
and not those that sound between them: it draws the second voice of the measure in which a line
ends where it would stand without the line, and one that stands in the file after the beginning but
sounds before it as if it were under the line. And it draws grace notes after a clef in mid-measure
as in the clef before. Such notes are written for it on other steps, so that they are drawn where
they belong.

Enters: a sheet and its MusicXML. Leaves: MusicXML for verovio, and for nobody else.
"""

from collections import defaultdict
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from engrave.engraver.heads import place_in_sheet
from engrave.music.sheet import Clef, Event, Moment, Sheet

_WAYS = {"down": 1, "up": -1}
_KINDS = {"octave-up": 1, "octave-down": -1}
_LETTERS = "CDEFGAB"
_OCTAVE = len(_LETTERS)
_ON_LINE = {"F": 3 + _OCTAVE * 3, "C": _OCTAVE * 4, "G": 4 + _OCTAVE * 4}
"""In steps from C 0: the notes that clefs name."""


def for_drawing(sheet: Sheet, score: bytes) -> bytes:
    """``score``, the MusicXML of ``sheet``, so that verovio draws all notes at their heights."""
    if not (_has_lines(sheet) or _has_graces_after_clefs(sheet)):
        return score
    root = ElementTree.fromstring(score)
    moved: dict[str, int] = defaultdict(int)
    is_right = True
    for element in root.iter():
        if element.tag == "direction":
            for shift in element.iter("octave-shift"):
                way = _WAYS.get(shift.get("type", ""), 0)
                moved[_staff(element)] = way * (int(shift.get("size", "8")) - 1)
        elif element.tag == "note" and (pitch := element.find("pitch")) is not None:
            over = moved[_staff(element)] - _wanted(sheet, element.get("id", ""))
            _shift(pitch, over)
            is_right = is_right and not over
    if is_right:
        return score
    changed: bytes = ElementTree.tostring(root, encoding="utf-8")
    return changed


def _has_lines(sheet: Sheet) -> bool:
    return any(span.kind in _KINDS for span in sheet.spans)


def _has_graces_after_clefs(sheet: Sheet) -> bool:
    return any(
        event.grace and event.offset and any(clef.offset == event.offset for clef in bar.clefs)
        for bar in sheet.bars
        if bar.clefs
        for event in bar.events
    )


def _staff(element: Element) -> str:
    return element.findtext("staff") or "1"


def _shift(pitch: Element, steps: int) -> None:
    """Move a written pitch by so many steps; its accidental is written out beside it."""
    step, octave = pitch.find("step"), pitch.find("octave")
    if steps and step is not None and octave is not None:
        height = _LETTERS.index(step.text or "") + _OCTAVE * int(octave.text or "") + steps
        step.text, octave.text = _LETTERS[height % _OCTAVE], str(height // _OCTAVE)


def _wanted(sheet: Sheet, id: str) -> int:
    """By how many steps a note is to be drawn below where verovio puts it by itself."""
    bar, index, _ = place_in_sheet(id)
    event = sheet.bars[bar].events[index]
    now = Moment(bar, event.offset)
    lines = sum(
        _KINDS[span.kind] * (span.size - 1)
        for span in sheet.spans
        if span.kind in _KINDS and span.staff == event.staff and span.start <= now < span.end
    )
    return lines + (_change(sheet, bar, event) if event.grace and event.offset else 0)


def _change(sheet: Sheet, bar: int, event: Event) -> int:
    """By how many steps a clef that stands right before a grace note lowers it."""
    changes = [
        (Moment(index, change.offset), change.clef)
        for index, each in enumerate(sheet.bars[: bar + 1])
        for change in sorted(each.clefs, key=lambda change: change.offset)
        if change.staff == event.staff and Moment(index, change.offset) <= Moment(bar, event.offset)
    ]
    if len(changes) < 2 or changes[-1][0] != Moment(bar, event.offset):
        return 0
    return _middle(changes[-1][1]) - _middle(changes[-2][1])


def _middle(clef: Clef) -> int:
    """The note on the middle line, in steps from C 0."""
    return _ON_LINE.get(clef.sign, 0) + _OCTAVE * clef.octaves - 2 * (clef.line - 3)
