"""The stages of engraving one sheet.

The music is laid out once in one line, to learn how wide its bars want to be; again in systems,
where one is not enough; then fingers and labels are placed, and systems set one under the other.
"""

import re
from dataclasses import replace
from functools import lru_cache
from itertools import count, pairwise

from engrave.engraver.breaks import Widths, choose_breaks
from engrave.engraver.crowding import Crowd
from engrave.engraver.fingers import place_fingers
from engrave.engraver.ornaments import place_ornaments
from engrave.engraver.outside import place_outside
from engrave.engraver.paths import around
from engrave.engraver.placed import placed
from engrave.engraver.reading import System, read_systems
from engrave.engraver.shapes import Shape
from engrave.engraver.stacking import EDGE, FinishedSystem, stack
from engrave.engraver.style import Engraving, Style
from engrave.engraver.toolkit import STAFF, draw
from engrave.music.sheet import Event, Sheet
from engrave.notation import musicxml

_SHORT = 0.75
"""A line that fills less of the width than this is not stretched to it."""


def engrave(sheet: Sheet, style: Style) -> Engraving:
    """``sheet`` as pictures of true size, the same for the same sheet and style.

    Raises ``EngraveError`` for a style that no music fits, or music that verovio cannot read.
    """
    width = style.width_mm * STAFF / style.staff_height_mm - 4 * EDGE
    systems = _systems(sheet, width, style.is_justified)
    return Engraving(tuple(stack([_line(sheet, system, width) for system in systems], style)))


def _systems(sheet: Sheet, width: float, is_justified: bool) -> list[System]:
    """The music without fingers, in lines of ``width`` units with the brace.

    Lines are as wide as they may be, so that right edges agree from sheet to sheet; but where all
    the breaks are the sheet's own and its lines are short, they are not torn to the full width.
    """
    score, line = _in_one_line(sheet)
    width += line.left
    widths = _widths(line)
    forced = frozenset(i for i, bar in enumerate(sheet.bars) if i and bar.system_break)
    breaks = choose_breaks(widths, forced, width)
    if not breaks and line.right <= width and not is_justified:
        return [line]
    widest = max(widths.of(*ends) for ends in pairwise((0, *breaks, len(sheet.bars))))
    if forced.issuperset(breaks) and not is_justified and widest < _SHORT * width:
        width = widest
    return read_systems(draw(_with_breaks(score, frozenset(breaks)), width, is_justified))


@lru_cache(maxsize=1)
def _in_one_line(sheet: Sheet) -> tuple[bytes, System]:
    """The music as verovio sees it, and laid out in one line; kept for another size of the same."""
    score = musicxml(_without_marks(sheet))
    (line,) = read_systems(draw(score))
    return score, line


def _without_marks(sheet: Sheet) -> Sheet:
    """The sheet as verovio sees it: fingers and labels are placed when all else has its place."""

    def bare(event: Event) -> Event:
        tones = tuple(replace(tone, finger=None) for tone in event.tones)
        return replace(event, tones=tones, label=None)

    bars = (
        replace(bar, events=tuple(bare(event) for event in bar.events), system_break=False)
        for bar in sheet.bars
    )
    return replace(sheet, bars=tuple(bars))


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


def _line(sheet: Sheet, system: System, width: float) -> FinishedSystem:
    fixed = [ink.shape for ink in system.inks if not ink.role]
    boxes = [box for shape in fixed for box in shape.boxes()]
    crowd = Crowd(boxes)
    marks: list[Shape] = [ink.shape for ink in place_ornaments(system, crowd)]
    marks += place_fingers(sheet, system, crowd)
    marks += [ink.shape for ink in place_outside(sheet, system, crowd, width + system.left)]
    boxes += [box for shape in marks for box in shape.boxes()]
    notes = tuple(placed(sheet, system))
    return FinishedSystem((*fixed, *marks), tuple(system.staff_tops), around(boxes), notes)
