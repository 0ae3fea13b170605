"""What the search for hard places looks at.

Enters: what was found of a score, each by itself. Leaves: all of it together. Knows no search.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from engrave.music.notes import Hand
from engrave.music.sheet import Meter
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell, Terrain
from engrave.survey.recurrence import Contents
from engrave.survey.variation import Variants
from engrave.survey.weighing import Weighed


@dataclass(frozen=True, slots=True)
class Searched:
    """All that the search looks at."""

    lines: Mapping[Hand, HandLine]
    terrain: Terrain
    weighed: Weighed
    contents: Contents
    variants: Variants
    meters: Sequence[Meter]
    leaping: Mapping[Hand, Sequence[bool]]
    """For every hand and onset, whether the hand leaps to it."""

    @property
    def cells(self) -> tuple[Cell, ...]:
        """The beats."""
        return self.terrain.cells
