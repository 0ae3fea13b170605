"""How hard a piece is as a whole, so that pieces can be ranked as teachers grade them.

Enters: a terrain, its contents and lines. Leaves: a ``Level``. Nothing in it is a sum over the
piece: to play the piece twice makes it no harder.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import log2

from engrave.music.notes import Hand
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell, Level, Terrain
from engrave.survey.recurrence import Contents

HARDEST = 0.9
"""Of the time in which anything is played: the share that is easier than the height told."""


@dataclass(frozen=True, slots=True)
class Component:
    """A part of the level: its ``least`` figure gives no points, its ``most`` all of ``points``.

    A figure beyond counts on. ``doubling``: a figure that counts by its doublings.
    """

    name: str
    least: float
    most: float
    points: float
    doubling: bool

    def of(self, figure: float) -> float:
        """The points of a figure."""
        if figure <= self.least:
            return 0.0
        if self.doubling:
            return self.points * log2(figure / self.least) / log2(self.most / self.least)
        return self.points * (figure - self.least) / (self.most - self.least)


PARTS = (
    Component("keys", 12, 76, 36, doubling=True),
    Component("material", 16, 720, 34, doubling=True),
    Component("hardest", 0, 125, 30, doubling=False),
)
"""What a level is made of: how many different keys a piece uses, how many different beats there
are to learn, how high its hard places stand. Least and most are those of first pieces and of
concert works; the first two count alike over their usual spread, the third, which hangs on a tempo
that is often a guess, less (unit weights: Dawes 1979, "The robust beauty of improper linear
models"). Range of keys, and variety of material by its compressibility, are the strongest of the
descriptors tried on graded works by Ramoneda and others 2024, "Towards explainable and
interpretable musical difficulty estimation" (both from memory). Density, chords' size, black keys,
hands apart and variety of rhythm were tried beside them, on 101 piano works without tempo, and
left out: each lowered the agreement with grades given by their titles."""


def level_of(terrain: Terrain, contents: Contents, lines: Mapping[Hand, HandLine]) -> Level:
    """The level of a piece; nothing played is level 0."""
    played = (line.onsets for line in lines.values())
    keys = {pitch.midi for onsets in played for onset in onsets for pitch in onset.pitches}
    figures = {
        "keys": float(len(keys)),
        "material": float(contents.different()),
        "hardest": _percentile(terrain.whole, terrain.cells, HARDEST),
    }
    parts = {part.name: part.of(figures[part.name]) for part in PARTS}
    return Level(sum(parts.values()), parts)


def _percentile(heights: Sequence[float], cells: Sequence[Cell], share: float) -> float:
    """The height that ``share`` of the played beats stay below."""
    ordered = sorted(
        (height, float(cell.end - cell.start))
        for height, cell in zip(heights, cells, strict=True)
        if height > 0
    )
    left = share * sum(length for _, length in ordered)
    for height, length in ordered:
        left -= length
        if left <= 0:
            return height
    return 0.0
