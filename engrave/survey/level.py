"""How hard a piece is as a whole, so that pieces can be ranked as teachers grade them.

Enters: a terrain, its contents and lines. Leaves: a ``Level``. Nothing in it is a sum over the
piece: to play the piece twice makes it no harder.
"""

from collections.abc import Mapping, Sequence
from math import log2

from engrave.music.notes import Hand
from engrave.survey.lines import Line
from engrave.survey.model import Cell, Level, Terrain
from engrave.survey.recurrence import Contents

HARDEST, MIDDLE = 0.9, 0.5
"""Of the time in which anything is played: shares that are easier than the height told."""

WEIGHTS = {"hardest": 0.45, "throughout": 0.25, "material": 6.0, "keys": 6.0}
"""What the parts count. A piece is as hard as its hard places, less if the rest lets one breathe.
Material and keys count by doublings: twice as much to learn is one step more, not twice the piece
(that variety of material and range of keys go with teachers' grades: Ramoneda and others 2024,
"Towards explainable and interpretable musical difficulty estimation", from memory)."""


def level_of(terrain: Terrain, contents: Contents, lines: Mapping[Hand, Line]) -> Level:
    """The level of a piece; nothing played is level 0."""
    hardest = _percentile(terrain.whole, terrain.cells, HARDEST)
    throughout = _percentile(terrain.whole, terrain.cells, MIDDLE)
    material = contents.different()
    played = (line.onsets for line in lines.values())
    keys = {pitch.midi for onsets in played for onset in onsets for pitch in onset.pitches}
    value = (
        WEIGHTS["hardest"] * hardest
        + WEIGHTS["throughout"] * throughout
        + WEIGHTS["material"] * log2(1 + material)
        + WEIGHTS["keys"] * log2(1 + len(keys))
    )
    return Level(value, hardest, throughout, material, len(keys))


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
