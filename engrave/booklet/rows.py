"""How the drills of a family stand on a page: side by side where two fit, one table of boxes.

Enters: drill pages, a width. Leaves: rows of drills, and tables of tempo boxes. Knows no HTML.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from engrave.booklet.book import DrillPage
from engrave.booklet.style import GUTTER_MM
from engrave.music.drill import Ladder
from engrave.music.units import Quarters


def drill_rows(drills: Sequence[DrillPage], width_mm: float) -> list[tuple[DrillPage, ...]]:
    """Neighbours that fit into ``width_mm`` side by side, else each by itself."""
    rows: list[tuple[DrillPage, ...]] = []
    for page in drills:
        before = rows[-1] if rows else ()
        if len(before) == 1 and _fit(before[0], page, width_mm):
            rows[-1] = (before[0], page)
        else:
            rows.append((page,))
    return rows


def _fit(one: DrillPage, other: DrillPage, width_mm: float) -> bool:
    if len(one.pictures) > 1 or len(other.pictures) > 1:
        return False
    left, right = column_mm(one), column_mm(other)
    return left + GUTTER_MM + right <= width_mm


def column_mm(page: DrillPage) -> float:
    """The width that a drill needs beside another: its music, or a short line of words."""
    return max(page.width_mm, 50.0)


def lowered_mm(page: DrillPage, row: Sequence[DrillPage]) -> float:
    """How much lower a drill's music stands so that the first staves of a row are on one line."""
    return max(_first_mm(each) for each in row) - _first_mm(page)


def _first_mm(page: DrillPage) -> float:
    return page.pictures[0].staff_tops_mm[0]


@dataclass(frozen=True, slots=True)
class BoxRow:
    """The boxes of one drill: ``label`` is its number, empty for the passage as written."""

    label: str
    ladder: Ladder


@dataclass(frozen=True, slots=True)
class BoxTable:
    """Rows of boxes under one head: their ladders have the same marks."""

    beat_unit: Quarters
    marks: tuple[int, ...]
    rows: tuple[BoxRow, ...]


def box_tables(rows: Sequence[BoxRow]) -> list[BoxTable]:
    """A table for each set of marks, in the order in which they first come."""
    groups: dict[tuple[Quarters, tuple[int, ...]], list[BoxRow]] = {}
    for row in rows:
        groups.setdefault((row.ladder.beat_unit, row.ladder.marks), []).append(row)
    return [BoxTable(unit, marks, tuple(held)) for (unit, marks), held in groups.items()]
