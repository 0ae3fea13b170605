"""Fingers beside their notes: one column an onset, in the order of the keys, clear of all ink.

Enters: the sheet and a system of its music without fingers. Leaves: the figures as text. The right
hand's stand above its staff, the left hand's below; the nearest place that touches nothing is
taken, so that a figure may stand under a slur but never on a stem, flag, beam or tuplet's number.
What is only computed is grey and italic. Verovio would set a chord's five in two columns, and
figures on stems.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engrave.engraver.crowding import Crowd
from engrave.engraver.heads import placed_notes
from engrave.engraver.paths import Box
from engrave.engraver.reading import System
from engrave.engraver.shapes import GREY, TextLine
from engrave.engraver.toolkit import SPACE, STAFF
from engrave.music.notes import Finger, FingerOrigin, Hand
from engrave.music.sheet import Sheet

SIZE = 1.62 * SPACE
"""Font size: figures of Source Serif Pro are two thirds of it high, a little over a space."""

_FIGURE = 0.66 * SIZE
_WIDTH = 0.5 * SIZE
"""Figures of that face are 0.5 of the size wide, 0.511 in italics (its metrics)."""

_APART = _FIGURE + 0.3 * SPACE
_CLEAR = 0.36 * SPACE
"""Between a figure and any ink; from the staff itself half a space."""

FingeredHead = tuple[Finger, Box]


@dataclass(frozen=True, slots=True)
class Column:
    """The fingers of one hand at one onset, from the top down, around ``x``."""

    x: float
    notes: tuple[FingeredHead, ...]
    above: bool


@dataclass(frozen=True, slots=True)
class Placing:
    """The figures, and whether all found room without going beyond the other staff."""

    figures: tuple[TextLine, ...]
    have_room: bool


def place_fingers(sheet: Sheet, system: System, crowd: Crowd) -> Placing:
    """The fingers of the notes that stand in ``system``; they join the ``crowd``."""
    figures: list[TextLine] = []
    have_room = True
    for column in _columns(sheet, system):
        start = _start(column, system)
        box = start.moved(0, crowd.free_above(start) if column.above else crowd.free_below(start))
        low, high = sorted((start.top, box.top))
        have_room &= not any(low < top < high for top in system.staff_tops)
        ink = box.widened(-_CLEAR, -_CLEAR)
        crowd.add([ink])
        figures += _figures(column, ink)
    return Placing(tuple(figures), have_room)


def _columns(sheet: Sheet, system: System) -> Iterator[Column]:
    """Fingered notes of one hand at one moment; where the heads of a chord differ, the most win."""
    onsets: dict[tuple[object, ...], list[FingeredHead]] = defaultdict(list)
    for note in placed_notes(sheet, system):
        event = note.event
        finger = event.tones[note.tone].finger if event.tones else None
        if finger:
            grace = note.index if event.grace else None
            onsets[event.hand, note.bar, event.offset, grace].append((finger, note.box))
    for (hand, *_), notes in onsets.items():
        notes.sort(key=lambda note: note[1].top)
        centres = Counter(round((box.left + box.right) / 2) for _, box in notes)
        x = min(centres, key=lambda centre: (-centres[centre], centre))
        yield Column(x, tuple(notes), hand is Hand.RIGHT)


def _start(column: Column, system: System) -> Box:
    """The nearest place outside the staff, with room around it."""
    height = (len(column.notes) - 1) * _APART + _FIGURE
    staff = system.staff_near(column.notes[0][1].top)
    if column.above:
        bottom = min(staff - SPACE / 2, column.notes[0][1].top - _CLEAR)
        top = bottom - height
    else:
        top = max(staff + STAFF + SPACE / 2, column.notes[-1][1].bottom + _CLEAR)
        bottom = top + height
    half = _width(column.notes) / 2
    return Box(column.x - half, top, column.x + half, bottom).widened(_CLEAR, _CLEAR)


def _width(notes: Sequence[FingeredHead]) -> float:
    """Of the widest figure: a dash between two is as wide as a figure."""
    return _WIDTH * max(len(finger.shown) for finger, _ in notes)


def _figures(column: Column, ink: Box) -> Iterator[TextLine]:
    for number, (finger, _) in enumerate(column.notes):
        computed = finger.origin is FingerOrigin.COMPUTED
        yield TextLine(
            finger.shown,
            column.x - _width([(finger, ink)]) / 2,
            ink.top + _FIGURE + number * _APART,
            SIZE,
            italic=computed,
            color=GREY if computed else "",
        )
