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
from engrave.engraver.curves import place_curves
from engrave.engraver.fingers import place_fingers
from engrave.engraver.inside import place_inside
from engrave.engraver.ornaments import place_ornaments
from engrave.engraver.outside import place_outside
from engrave.engraver.paths import around
from engrave.engraver.placed import placed
from engrave.engraver.reading import Ink, System, read_systems
from engrave.engraver.stacking import EDGE, FinishedSystem, stack
from engrave.engraver.style import Engraving, Style
from engrave.engraver.toolkit import APART, STAFF, draw
from engrave.music.sheet import Event, Sheet
from engrave.notation import musicxml

_SHORT = 0.75
"""A line that fills less of the width than this is not stretched to it."""

_WIDER = (20, 28)
"""Distances between staves that are tried where fingers find no room between them."""


def engrave(sheet: Sheet, style: Style) -> Engraving:
    """``sheet`` as pictures of true size, the same for the same sheet and style.

    Raises ``EngraveError`` for a style that no music fits, or music that verovio cannot read.
    """
    return Engraving(tuple(stack([_line(sheet, *each) for each in finished(sheet, style)], style)))


def finished(sheet: Sheet, style: Style) -> list[tuple[System, list[Ink]]]:
    """The systems as verovio draws them, each with all its ink in its place.

    Where fingers find no room between the staves, these are drawn farther apart.
    """
    width = style.width_mm * STAFF / style.staff_height_mm - 4 * EDGE
    for apart in (APART, *_WIDER):
        systems = _systems(sheet, width, style.is_justified, apart)
        done = [_placed(sheet, system, width) for system in systems]
        if all(has_room for _, has_room in done):
            break
    return [(system, inks) for system, (inks, _) in zip(systems, done, strict=True)]


def _systems(sheet: Sheet, width: float, is_justified: bool, apart: int) -> list[System]:
    """The music without fingers, in lines of ``width`` units with the brace.

    What fits in one line stands in one, the sheet's own breaks or not. Lines are as wide as they
    may be, so that right edges agree from sheet to sheet; but where all the breaks are the sheet's
    own and its lines are short, they are not torn to the full width.
    """
    score, line = _in_one_line(sheet, apart)
    width += line.left
    if line.right <= width and not is_justified:
        return [line]
    widths = _widths(line)
    forced = frozenset(i for i, bar in enumerate(sheet.bars) if i and bar.system_break)
    breaks = choose_breaks(widths, forced, width)
    widest = max(widths.of(*ends) for ends in pairwise((0, *breaks, len(sheet.bars))))
    if forced.issuperset(breaks) and not is_justified and widest < _SHORT * width:
        width = widest
    return read_systems(draw(_with_breaks(score, frozenset(breaks)), width, is_justified, apart))


@lru_cache(maxsize=1)
def _in_one_line(sheet: Sheet, apart: int) -> tuple[bytes, System]:
    """The music as verovio sees it, and laid out in one line; kept for another size of the same."""
    score = musicxml(_without_marks(sheet))
    (line,) = read_systems(draw(score, apart=apart))
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


def _line(sheet: Sheet, system: System, inks: list[Ink]) -> FinishedSystem:
    shapes = tuple(ink.shape for ink in inks)
    boxes = [box for shape in shapes for box in shape.boxes()]
    return FinishedSystem(
        shapes, tuple(system.staff_tops), around(boxes), tuple(placed(sheet, system))
    )


def _placed(sheet: Sheet, system: System, width: float) -> tuple[list[Ink], bool]:
    """Fingers and labels in their places, and the signs that give way to them; whether the fingers
    found room on their side of the other staff."""
    fixed = list(place_curves(place_inside(sheet, system)))
    crowd = Crowd(box for ink in fixed for box in ink.shape.boxes())
    inks = [*fixed, *place_ornaments(system, crowd)]
    fingers = place_fingers(sheet, system, crowd)
    inks += [Ink(figure, kind="finger") for figure in fingers.figures]
    inks += place_outside(sheet, system, crowd, width + system.left)
    return inks, fingers.have_room
