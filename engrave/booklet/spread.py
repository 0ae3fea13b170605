"""Fills the stand's pages: what is left at the foot of a page goes between its blocks.

Enters: where the blocks of a first layout stand. Leaves: the space to add above them, small enough
that no block moves to another page. A page break is where CSS ends and this begins: the last page
and those with a single block stay as they are.
"""

from collections.abc import Mapping, Sequence
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
            name
            for box, name in blocks
            if name.startswith(MOVABLE) and boxes[name][0] == box and box[2] > style.top_mm + 1
        ]
        feet = [y + height for (_, _, y, _, height), name in blocks if name.startswith(LAST)]
        if page == max(pages) or not movable or not feet:
            continue
        left = style.paper.height_mm - style.bottom_mm - max(feet)
        for name in movable:
            added[name] = max(0.0, min(LARGEST_GAP_MM, SHARE * left / len(movable)))
    return added
