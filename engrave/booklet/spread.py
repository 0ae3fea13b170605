"""Fills the stand's pages: what is left at the foot of a page goes between its blocks.

Enters: where the blocks of a first layout stand. Leaves: the space to add above them, small enough
that no block moves to another page. A page break is where CSS ends and this begins: the last page
and those with a single block stay as they are.
"""

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby

from engrave.booklet.press import Box
from engrave.booklet.style import PageStyle

LARGEST_GAP_MM = 11.0
SHARE = 0.97
"""Of what is left; the rest is for rounding."""
MOVABLE = ("passage-", "family-", "drill-")
"""Ids of the blocks that space may be put above; the first drill of a family moves with it."""
LAST = ("first-", "drill-", "return-")
"""Ids of the blocks that can stand last on a page."""


def spread(boxes: Mapping[str, Sequence[Box]], style: PageStyle) -> dict[str, float]:
    """Millimetres to add above each block, by its id."""
    placed = sorted((box, name) for name, found in boxes.items() for box in found)
    pages = {page: list(found) for page, found in groupby(placed, lambda item: item[0][0])}
    added: dict[str, float] = {}
    for page, blocks in pages.items():
        movable = [
            row
            for row in _rows(blocks)
            if row[0][1].startswith(MOVABLE)
            and boxes[row[0][1]][0] == row[0][0]
            and row[0][0][2] > style.top_mm + 1
        ]
        feet = [y + height for (_, _, y, _, height), name in blocks if name.startswith(LAST)]
        if page == max(pages) or not movable or not feet:
            continue
        left = style.paper.height_mm - style.bottom_mm - max(feet)
        gap = max(0.0, min(LARGEST_GAP_MM, SHARE * left / len(movable)))
        added.update((name, gap) for row in movable for _, name in row)
    return added


def _rows(blocks: Iterable[tuple[Box, str]]) -> list[list[tuple[Box, str]]]:
    """The blocks, the leftmost first; drills side by side together, for they move as one."""
    rows: dict[tuple[float, str], list[tuple[Box, str]]] = {}
    for box, name in blocks:
        key = "" if name.startswith(("first-", "drill-")) else name
        rows.setdefault((round(box[2], 1), key), []).append((box, name))
    return list(rows.values())
