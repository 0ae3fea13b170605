"""Loads of two hands at once: two rhythms against each other, and hands that go their own ways.

Enters: both hands' lines and the cells. Leaves: events a cell, summed; ``terrain`` divides by the
seconds of the cell.
"""

from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from math import lcm

from engrave.music.notes import Hand
from engrave.music.units import Quarters
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell

Lines = Mapping[Hand, HandLine]


def two_rhythms(lines: Lines, cells: Sequence[Cell]) -> tuple[float, ...]:
    """Strokes a second that fall between the other hand's: three against two, four against three.

    Only beats count whose common grid is finer than either hand's own (least common multiple of
    the two divisions). Irregular rhythm: Sébastien and others 2012 (from memory).
    """
    return tuple(
        float(len(right ^ left)) if _is_against(right, left) else 0.0
        for right, left in _moments(lines, cells)
    )


def _is_against(right: set[Quarters], left: set[Quarters]) -> bool:
    if not right or not left:
        return False
    mine, other = _division(right), _division(left)
    return lcm(mine, other) > max(mine, other)


def _division(moments: Iterable[Quarters]) -> int:
    return lcm(*(moment.denominator for moment in moments))


def independence(lines: Lines, cells: Sequence[Cell]) -> tuple[float, ...]:
    """Strokes a second of one hand alone in beats where both play: each hand has its own rhythm.

    Counted is the lesser of the two hands' lonely strokes, and a half for every one more that the
    other has: one note against eight is easier than two voices by turns. Common practice.
    """
    result: list[float] = []
    for right, left in _moments(lines, cells):
        alone = len(right - left), len(left - right)
        both = right and left
        result.append(min(alone) + (max(alone) - min(alone)) / 2 if both else 0.0)
    return tuple(result)


def _moments(lines: Lines, cells: Sequence[Cell]) -> list[tuple[set[Quarters], set[Quarters]]]:
    """For every cell when each hand strikes, in shares of the cell's beat."""
    by_cell: list[tuple[set[Fraction], set[Fraction]]] = [(set(), set()) for _ in cells]
    for number, hand in enumerate(Hand):
        if hand not in lines:
            continue
        for moments, cell, struck in zip(by_cell, cells, lines[hand].by_cell(cells), strict=True):
            shares = ((onset.time - cell.start) / (cell.end - cell.start) for onset in struck)
            moments[number].update(shares)
    return by_cell
