"""How hard a piece is as a whole, so that pieces can be ranked as teachers grade them.

Enters: a terrain and its contents. Leaves: a ``Level``. Nothing in it is a sum over the piece: to
play the piece twice makes it no harder.
"""

from collections.abc import Sequence
from math import log2

from engrave.survey.model import Cell, Level, Terrain
from engrave.survey.recurrence import Contents

HARDEST, MIDDLE = 0.9, 0.5
"""Of the time in which anything is played: shares that are easier than the height told."""

WEIGHTS = {"hardest": 0.55, "throughout": 0.25, "material": 3.0}
"""What the parts count: a piece is as hard as its hard places, less if the rest lets one breathe;
material in bits, because twice as much that is different is one step more, not twice the piece."""


def level_of(terrain: Terrain, contents: Contents) -> Level:
    """The level of a piece; nothing played is level 0."""
    hardest = _percentile(terrain.whole, terrain.cells, HARDEST)
    throughout = _percentile(terrain.whole, terrain.cells, MIDDLE)
    material = log2(1 + contents.different())
    value = (
        WEIGHTS["hardest"] * hardest
        + WEIGHTS["throughout"] * throughout
        + WEIGHTS["material"] * material
    )
    return Level(value, hardest, throughout, material)


def _percentile(heights: Sequence[float], cells: Sequence[Cell], share: float) -> float:
    """The height that ``share`` of the played beats stay below."""
    found = sorted(
        (height, float(cell.end - cell.start))
        for height, cell in zip(heights, cells, strict=True)
        if height > 0
    )
    left = share * sum(length for _, length in found)
    for height, length in found:
        left -= length
        if left <= 0:
            return height
    return 0.0
