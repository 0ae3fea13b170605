"""The terrain of a piece: every load in every beat, and how high they stand together.

Enters: both hands' lines and the cells. Leaves: a ``Terrain``.
"""

from collections.abc import Mapping, Sequence
from math import sqrt

from engrave.music.notes import Hand
from engrave.survey.cells import cell_at
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell, Side, Terrain
from engrave.survey.table import HAND_LOADS, PAIR_LOADS, HandLoad, square

NEIGHBOURS = (1 / 9, 2 / 9, 3 / 9, 2 / 9, 1 / 9)
"""Shares of the beats around, the beat itself in the middle: what is hard for five beats is harder
than what is hard for one."""


def terrain_of(lines: Mapping[Hand, HandLine], cells: tuple[Cell, ...]) -> Terrain:
    """The figures of every load in every cell, and the heights."""
    figures: dict[Side, dict[str, tuple[float, ...]]] = {
        Side(hand): _loads(line, cells) for hand, line in lines.items()
    }
    figures[Side.TOGETHER] = {
        load.name: _rates(load.count(lines, cells), cells) for load in PAIR_LOADS
    }
    squares = {side: _squares(loads, len(cells)) for side, loads in figures.items()}
    height = {side: tuple(map(sqrt, smooth(squared))) for side, squared in squares.items()}
    everything = [sum(column) for column in zip(*squares.values(), strict=True)]
    return Terrain(cells, figures, height, tuple(map(sqrt, smooth(everything))))


def _loads(line: HandLine, cells: Sequence[Cell]) -> dict[str, tuple[float, ...]]:
    starts = [cell.start for cell in cells]
    places = [cell_at(starts, onset.time) for onset in line.onsets]
    return {load.name: _by_cell(line, load, places, cells) for load in HAND_LOADS}


def _by_cell(
    line: HandLine, load: HandLoad, places: Sequence[int], cells: Sequence[Cell]
) -> tuple[float, ...]:
    by_cell = [0.0] * len(cells)
    for at, figure in zip(places, load.count(line), strict=True):
        if figure:
            by_cell[at] = by_cell[at] + figure if load.rate else max(by_cell[at], figure)
    return _rates(by_cell, cells) if load.rate else tuple(by_cell)


def _rates(events: Sequence[float], cells: Sequence[Cell]) -> tuple[float, ...]:
    return tuple(count / cell.seconds for count, cell in zip(events, cells, strict=True))


def _squares(loads: Mapping[str, Sequence[float]], count: int) -> list[float]:
    result = [0.0] * count
    for name, figures in loads.items():
        for index, figure in enumerate(figures):
            if figure:
                result[index] += square(name, figure)
    return result


def smooth(squares: Sequence[float]) -> list[float]:
    """Every beat with its neighbours; beyond the ends all is silent."""
    margin = len(NEIGHBOURS) // 2
    padded = [0.0] * margin + list(squares) + [0.0] * margin
    return [
        sum(share * padded[index + k] for k, share in enumerate(NEIGHBOURS))
        for index in range(len(squares))
    ]
