"""Ink on ink, counted in pixels: every sign, finger and note that another one is printed over.

``python -m tests.engraver.touching FILE …`` prints a line for every pair that touches: of all
drills of a marks file; of all measures of a score, eight at a time, fingered, both hands together
and apart. Without files it goes through the gallery. What belongs together
is no pair: the parts of one chord or beam, a note head that two voices share, staff lines under
notes, a wedge through the bar line between the staves, a slur through a bar line or a staff.
"""

import sys
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from math import ceil, floor
from pathlib import Path

from engrave.drills import OPTIONS, as_written, hands_apart
from engrave.engraver import Style
from engrave.engraver.engraving import finished
from engrave.engraver.paths import Box, around
from engrave.engraver.printing import svg
from engrave.engraver.reading import Ink
from engrave.engraver.shapes import Glyph, TextLine
from engrave.engraver.toolkit import STAFF
from engrave.errors import EngraveError, Mistakes
from engrave.marks import read_marks
from engrave.music.sheet import Sheet
from engrave.passage.assembly import assemble
from engrave.pipeline.checking import check
from engrave.score import read_score
from tests.checks import sources
from tests.engraver import gallery
from tests.engraver.raster import drawn
from tests.sweep import passages
from tests.works import EVERYTHING, Work

STYLE = Style(7.0, 170, 250)
DPI = 300
ENOUGH = 3
"""Pixels that two outlines may share where they only meet."""
SECONDS = 10
"""The same of two heads side by side, a second apart, which meet along an edge."""

STAVES = frozenset({"", "staff", "ledgerLines", "barLine", "clef", "keySig", "meterSig", "grpSym"})
NOTES = frozenset(
    {
        "accid", "arpeg", "artic", "bTrem", "beam", "beamSpan", "dots", "fTrem", "flag", "mRest",
        "notehead", "rest", "stem",
    }
)  # fmt: skip
CURVES = frozenset({"slur", "tie"})
MEETING = frozenset(
    {
        *(frozenset({"ledgerLines", each}) for each in (*NOTES, *CURVES, "staff", "barLine")),
        frozenset({"hairpin", "barLine"}),
        frozenset({"octave", "barLine"}),
        frozenset({"voltaBracket", "barLine"}),
        frozenset({"tupletNum", "tupletBracket"}),
        frozenset({"beamSpan", "stem"}),
    }
)
"""What may lie on each other."""


@dataclass(frozen=True, slots=True)
class Touch:
    """Two things on each other: what they are, how many pixels they share, where (in units)."""

    kinds: tuple[str, str]
    pixels: int
    box: Box
    system: int = 0


@dataclass(frozen=True, slots=True)
class _Item:
    """All ink of one kind that belongs to one owner."""

    kind: str
    owner: int
    inks: tuple[Ink, ...]
    boxes: tuple[Box, ...]
    around: Box


def touches(sheet: Sheet, style: Style = STYLE) -> Iterator[Touch]:
    """Every pair in a sheet as it is printed."""
    for number, each in enumerate(finished(sheet, style)):
        yield from (replace(touch, system=number) for touch in pairs(each.inks, style))


def pairs(inks: Iterable[Ink], style: Style = STYLE) -> Iterator[Touch]:
    """Every pair in a system's ink."""
    for one, other in combinations(_items(inks), 2):
        is_near = one.around.meets(other.around) and _is_pair(one, other)
        if is_near and (pixels := _shared(one, other, style)):
            first, second = sorted((one.kind, other.kind))
            yield Touch((first, second), pixels, _common(one.around, other.around))


def _items(inks: Iterable[Ink]) -> Iterator[_Item]:
    found: dict[tuple[str, int, int], list[Ink]] = defaultdict(list)
    for number, ink in enumerate(inks):
        alone = isinstance(ink.shape, TextLine) and not ink.group
        found[ink.kind, ink.owner or ink.group, number if alone else 0].append(ink)
    for (kind, owner, _), group in found.items():
        boxes = tuple(box for ink in group for box in ink.shape.boxes)
        if boxes:
            yield _Item(kind, owner, tuple(group), boxes, around(boxes))


def _is_pair(one: _Item, other: _Item) -> bool:
    kinds = frozenset({one.kind, other.kind})
    if kinds <= STAVES or kinds in MEETING or (one.owner and one.owner == other.owner):
        return False
    if "staff" in kinds and kinds & (NOTES | CURVES | {"tupletNum", "tupletBracket", "octave"}):
        return False
    if "barLine" in kinds and kinds & CURVES:
        return False
    return not (kinds <= {"notehead", "stem", "dots"} and _is_unison(one, other))


def _is_unison(one: _Item, other: _Item) -> bool:
    """Whether two voices stand on one head: a stem of either touches the other's head too."""
    heads = [ink.shape for ink in (*one.inks, *other.inks) if isinstance(ink.shape, Glyph)]
    places = {(round(head.x), round(head.y)) for head in heads}
    return len(places) < len(heads) or one.kind != other.kind


def _common(one: Box, other: Box) -> Box:
    return Box(
        floor(max(one.left, other.left)),
        floor(max(one.top, other.top)),
        ceil(min(one.right, other.right)),
        ceil(min(one.bottom, other.bottom)),
    )


def _shared(one: _Item, other: _Item, style: Style) -> int:
    meeting = [_common(a, b) for a in one.boxes for b in other.boxes if a.meets(b)]
    if not meeting:
        return 0
    mm = style.staff_height_mm / STAFF
    left, top, right, bottom = around(meeting)
    box = Box(left - 5, top - 5, right + 5, bottom + 5)
    size = (box.right - box.left) * mm, (box.bottom - box.top) * mm
    ink = [drawn(svg([i.shape for i in each.inks], box, mm), *size, DPI) for each in (one, other)]
    pixels = int((ink[0] & ink[1]).sum())
    return pixels if pixels > (SECONDS if one.kind == other.kind == "notehead" else ENOUGH) else 0


def sheets_of(path: Path) -> Iterator[tuple[str, Sheet]]:
    """The drills of a marks file, or all music of a score."""
    if path.suffix == ".yaml":
        yield from ((drill.id, drill.sheet) for drill in check(path).drills)
        return
    try:
        yield from whole(Work(path.stem, path, EVERYTHING))
    except EngraveError:  # several parts
        yield from whole(Work(path.stem, path, EVERYTHING, "Piano"))


def whole(work: Work, chosen: Iterable[int] | None = None) -> Iterator[tuple[str, Sheet]]:
    """Every eight measures of a work, or those ``chosen``, as written and hands apart."""
    with tempfile.TemporaryDirectory() as folder:
        path = work.write(Path(folder))
        starts = sources.read_score(work.score, work.part).starts
        names = sorted(starts, key=lambda name: starts[name])
        path.write_text(path.read_text("utf-8") + passages(names), "utf-8")
        marks = read_marks(path, OPTIONS)
        score = read_score(marks.score.value, part=work.part or None, movement=None)
    for index in range(len(marks.passages)) if chosen is None else chosen:
        try:
            passage = assemble(marks.passages[index], score, marks.student.stretch_mm)
        except Mistakes:
            continue  # a tuplet or a bar that the eight measures cut in two
        for family in (as_written, hands_apart):
            for drill in family.FAMILY.unasked(passage).drills:
                yield f"{work.name} {drill.id}", drill.sheet


def main(paths: list[str]) -> None:
    """Print every pair, and how many there are of each kind."""
    sheets = [each for path in map(Path, paths) for each in sheets_of(path)]
    sheets = sheets or [(made.__name__, made()) for made in gallery.ALL]
    count: dict[tuple[str, str], int] = defaultdict(int)
    for name, sheet in sheets:
        for touch in touches(sheet):
            count[touch.kinds] += 1
            place = f"system {touch.system + 1}, {touch.box.left / STAFF:.1f} staves from the left"
            print(f"{touch.pixels:5} {' on '.join(touch.kinds)}: {name}, {place}")
    for kinds, number in sorted(count.items()):
        print(f"{number:5} {' on '.join(kinds)}")
    print(f"{len(sheets)} sheets looked at")


if __name__ == "__main__":
    main(sys.argv[1:])
