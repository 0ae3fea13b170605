"""Systems set one under the other, and divided into pictures where they are too high.

Enters: lines of shapes. Leaves: pictures, each cut to its ink.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

from engrave.engraver.heads import PlacedNote
from engrave.engraver.paths import Box
from engrave.engraver.printing import svg
from engrave.engraver.reading import Ink, System
from engrave.engraver.shapes import Shape
from engrave.engraver.style import NotePlace, Picture, Style
from engrave.engraver.toolkit import SPACE, STAFF

GAP = 2.6 * SPACE
"""Between the ink of one system and that of the next."""

EDGE = 0.1 * SPACE
"""Around a picture, so that rounding cuts nothing off."""


@dataclass(frozen=True, slots=True)
class FinishedSystem:
    """One system with all its ink in its place, the box around it, and its notes.

    ``has_room``: the fingers found room on their side of the other staff.
    """

    system: System
    inks: tuple[Ink, ...]
    box: Box
    notes: tuple[PlacedNote, ...] = ()
    has_room: bool = True


def stack(lines: Sequence[FinishedSystem], style: Style) -> list[Picture]:
    """The pictures of all ``lines``, of one width: the fewest that fit, as even as may be."""
    mm = style.staff_height_mm / STAFF
    heights = [line.box.bottom - line.box.top for line in lines]
    edges = (0, *_divide(heights, style.max_height_mm / mm - 2 * EDGE), len(lines))
    sides = min(line.box.left for line in lines), max(line.box.right for line in lines)
    return [_picture(lines[start:end], sides, style) for start, end in pairwise(edges)]


def _divide(heights: Sequence[float], limit: float) -> tuple[int, ...]:
    """Before which systems a new picture begins: fewest pictures, then the lowest highest one."""
    best: list[tuple[int, float, tuple[int, ...]]] = [(0, 0.0, ())]
    for end in range(1, len(heights) + 1):
        choices = []
        for start in range(end - 1, -1, -1):
            height = sum(heights[start:end]) + GAP * (end - start - 1)
            if height > limit and start < end - 1:
                break
            pictures, highest, breaks = best[start]
            choices.append((pictures + 1, max(highest, height), (*breaks, start)))
        best.append(min(choices))
    return best[-1][2][1:]


def _picture(lines: Sequence[FinishedSystem], sides: tuple[float, float], style: Style) -> Picture:
    shapes: list[Shape] = []
    tops: list[float] = []
    notes: list[tuple[int, int, PlacedNote]] = []
    first = now = lines[0].box.top
    for system, line in enumerate(lines):
        down = round(now - line.box.top)
        shapes += [ink.shape.moved(0, down) if down else ink.shape for ink in line.inks]
        tops += [top + down for top in line.system.staff_tops]
        notes += [(system, down, note) for note in line.notes]
        now = line.box.bottom + down + GAP
    left, right = sides
    whole = Box(floor(left - EDGE), floor(first - EDGE), ceil(right + EDGE), ceil(now - GAP + EDGE))
    mm = style.staff_height_mm / STAFF
    return Picture(
        svg(shapes, whole, mm),
        (whole.right - whole.left) * mm,
        (whole.bottom - whole.top) * mm,
        len(lines),
        style.staff_height_mm,
        tuple((top - whole.top) * mm for top in tops),
        tuple(
            _place(note, system, note.box.moved(-whole.left, down - whole.top), mm)
            for system, down, note in notes
        ),
    )


def _place(note: PlacedNote, system: int, box: Box, mm: float) -> NotePlace:
    edges = (round(edge * mm, 2) for edge in (box.left, box.top, box.right, box.bottom))
    return NotePlace(note.bar, note.index, note.tone, system, *edges)
