"""What counts when the beats of one piece are compared with each other.

Enters: a terrain. Leaves: the squares of every load, and the height of every beat, for choosing the
places to practise. They differ from the terrain in two things: notes as quick as the whole piece is
are not what a place of it is marked for, nor are ornaments. What the terrain says compares pieces.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt

from engrave.survey.model import Side, Terrain
from engrave.survey.table import square
from engrave.survey.terrain import smooth

USUAL, UNUSUAL = 0.4, 1.0
"""What speed counts that is the piece's own, and that which is half as quick again."""

FASTER = 1.5

BESIDE = {"ornaments": 0.25}
"""What a load counts for which there is no drill: it is told, and no place is marked for it."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """``squares`` of every side and load in every cell; ``heights`` of every cell, smoothed."""

    squares: Mapping[Side, Mapping[str, tuple[float, ...]]]
    heights: tuple[float, ...]

    def at(self, side: Side, index: int) -> float:
        """What a side adds to the square of a cell."""
        return sum(figures[index] for figures in self.squares[side].values())

    def of(self, side: Side) -> tuple[float, ...]:
        """The height of a side alone in every cell, smoothed."""
        count = len(self.heights)
        return tuple(map(sqrt, smooth([self.at(side, index) for index in range(count)])))

    def without(self, side: Side) -> "Weighed":
        """The same, but for what a side has to do alone."""
        squares = {each: loads for each, loads in self.squares.items() if each is not side}
        return _with_heights({**squares, side: {}}, len(self.heights))


def weighed(terrain: Terrain) -> Weighed:
    """The beats of a piece, weighed against each other."""
    squares = {
        side: {load: _squares(load, figures) for load, figures in loads.items()}
        for side, loads in terrain.figures.items()
    }
    return _with_heights(squares, len(terrain.cells))


def _with_heights(squares: Mapping[Side, Mapping[str, tuple[float, ...]]], cells: int) -> Weighed:
    sums = [
        sum(figures[index] for loads in squares.values() for figures in loads.values())
        for index in range(cells)
    ]
    return Weighed(squares, tuple(map(sqrt, smooth(sums))))


def _squares(load: str, figures: Sequence[float]) -> tuple[float, ...]:
    counts = BESIDE.get(load, 1.0)
    squares = tuple(counts * square(load, figure) if figure else 0.0 for figure in figures)
    if load != "speed":
        return squares
    played = sorted(figure for figure in figures if figure)
    usual = played[len(played) // 2] if played else 0.0
    return tuple(
        value * _share(figure / usual) if figure else 0.0
        for value, figure in zip(squares, figures, strict=True)
    )


def _share(ratio: float) -> float:
    beyond = min(max((ratio - 1) / (FASTER - 1), 0.0), 1.0)
    return USUAL + (UNUSUAL - USUAL) * beyond
