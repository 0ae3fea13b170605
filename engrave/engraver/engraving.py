"""The stages of engraving one sheet.

The music is laid out once in one line, to learn how wide its bars want to be; again in systems,
where one is not enough; then fingers and labels are placed, and systems set one under the other.
The line is kept for the other sizes of the same sheet: most drills are one line in all of them.
"""

import re
from functools import lru_cache
from itertools import count, pairwise

from engrave.engraver.breaks import Widths, choose_breaks
from engrave.engraver.crowding import Crowd
from engrave.engraver.curves import place_curves
from engrave.engraver.fingers import place_fingers
from engrave.engraver.heads import placed_notes
from engrave.engraver.heights import for_drawing
from engrave.engraver.inside import place_inside
from engrave.engraver.ornaments import place_ornaments
from engrave.engraver.outside import place_outside
from engrave.engraver.paths import around
from engrave.engraver.reading import Ink, System, boxes_of, read_systems
from engrave.engraver.stacking import EDGE, FinishedSystem, stack
from engrave.engraver.style import Engraving, Style
from engrave.engraver.toolkit import APART, CLOSE, STAFF, USUAL, draw
from engrave.music.sheet import Sheet
from engrave.notation import musicxml

_SHORT = 0.75
"""A line that fills less of the width than this is not stretched to it."""

_WIDER = (20, 28)
"""Distances between staves that are tried where fingers find no room between them."""

_CLOSER = 0.85
"""About the least width of a line in which notes stand ``CLOSE``, as a share of the usual."""

_FIRST = frozenset({0})
"""The breaks of one line that is narrowed to the width: told none, verovio chooses its own."""

_SIZES = 8
"""Systems that are kept: of one sheet, with staves as far apart as was tried."""


def engrave(sheet: Sheet, style: Style) -> Engraving:
    """``sheet`` as pictures of true size, the same for the same sheet and style.

    Raises ``EngraveError`` for a style that no music fits, or music that verovio cannot read.
    """
    return Engraving(tuple(stack(finished(sheet, style), style)))


def finished(sheet: Sheet, style: Style) -> list[FinishedSystem]:
    """The systems as verovio draws them, each with all its ink in its place.

    Where fingers find no room between the staves, these are drawn farther apart.
    """
    width = style.width_mm * STAFF / style.staff_height_mm - 4 * EDGE
    for apart in (APART, *_WIDER):
        systems = _systems(sheet, width, style.is_justified, apart)
        done = [_finished(sheet, system, _right(system, width)) for system in systems]
        if all(each.has_room for each in done):
            break
    return done


def _systems(sheet: Sheet, width: float, is_justified: bool, apart: int) -> list[System]:
    """The music without fingers, in lines of ``width`` units with the brace.

    What fits in one line stands in one, the sheet's own breaks or not. Lines are as wide as they
    may be, so that right edges agree from sheet to sheet; but where all the breaks are the sheet's
    own and its lines are short, they are not torn to the full width. Notes stand closer than is
    usual where that saves a line.
    """
    line = _in_one_line(sheet, apart)
    width += line.left
    if line.right <= width and not is_justified:
        return [line]
    widths, spacing = _widths(line), USUAL
    forced = frozenset(i for i, bar in enumerate(sheet.bars) if i and bar.system_break)
    breaks = choose_breaks(widths, forced, width)
    if not is_justified and _may_be_fewer(widths, forced, width, len(breaks)):
        close = _widths(_in_one_line(sheet, apart, CLOSE))
        fewer = choose_breaks(close, forced, width)
        if len(fewer) < len(breaks):
            widths, breaks, spacing = close, fewer, CLOSE
    widest = max(widths.of(*ends) for ends in pairwise((0, *breaks, len(sheet.bars))))
    if forced.issuperset(breaks) and not is_justified and widest < _SHORT * width:
        width = widest
    broken = _with_breaks(_as_seen(sheet), frozenset(breaks) or _FIRST)
    return read_systems(draw(broken, width, is_justified, apart, spacing))


def _may_be_fewer(widths: Widths, forced: frozenset[int], width: float, breaks: int) -> bool:
    """Whether there might be fewer lines than with so many ``breaks``, if notes stood closer."""
    close = Widths(tuple([_CLOSER * bar for bar in widths.bars]), widths.head)
    return len(choose_breaks(close, forced, width)) < breaks


@lru_cache(maxsize=_SIZES)
def _in_one_line(sheet: Sheet, apart: int, spacing: float = USUAL) -> System:
    """The music laid out in one line; fingers and labels are placed when all else has its place."""
    (line,) = read_systems(draw(_as_seen(sheet), apart=apart, spacing=spacing))
    return line


@lru_cache(maxsize=1)
def _as_seen(sheet: Sheet) -> bytes:
    """The music as verovio sees it, whatever its layout."""
    return for_drawing(sheet, musicxml(sheet, bare=True))


def _with_breaks(score: bytes, breaks: frozenset[int]) -> bytes:
    """The document with a new system at each of the bars ``breaks``."""
    bars = count()

    def begin(match: re.Match[bytes]) -> bytes:
        return match[0] + (b'<print new-system="yes"/>' if next(bars) in breaks else b"")

    return re.sub(rb"<measure [^>]*>", begin, score)


def _widths(line: System) -> Widths:
    ends = [0.0, *line.bar_ends]
    bars = [end - start for start, end in pairwise(ends)]
    bars[0] -= line.head
    return Widths(tuple(bars), line.head)


def _right(system: System, width: float) -> float:
    """Where signs outside the staves must end: no farther than they do, so alike for all sizes."""
    signs = (box.right for ink in system.inks if ink.role for box in ink.shape.boxes)
    return min(width + system.left, max(signs, default=0.0))


@lru_cache(maxsize=_SIZES)
def _finished(sheet: Sheet, system: System, right: float) -> FinishedSystem:
    """Fingers and labels in their places, and the signs that give way to them."""
    fixed = list(place_curves(place_inside(sheet, system)))
    crowd = Crowd(boxes_of(fixed))
    inks = [*fixed, *place_ornaments(system, crowd)]
    fingers = place_fingers(sheet, system, crowd)
    inks += [Ink(figure, kind="finger") for figure in fingers.figures]
    inks += place_outside(sheet, system, crowd, right)
    box = around(boxes_of(inks))
    return FinishedSystem(
        system, tuple(inks), box, tuple(placed_notes(sheet, system)), fingers.have_room
    )
