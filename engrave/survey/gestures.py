"""How a hand moves, whatever its keys: whether one place asks of it what another has asked.

Enters: a hand's line, cells. Leaves: ``Gesture``s, and the part of them that two places share. A
bass and a chord a tenth above are learned once, on whatever steps. Knows no difficulty.
"""

from bisect import bisect_left
from collections.abc import Sequence

from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell, Gesture

CHORD = 3
"""Keys from which one grip is as full as another."""

WIDE, NEAR = 3, 2
"""Letters: ways of so many at least, a fourth, are alike if they differ by at most a third; shorter
ones are to be the same, as a run that turns is another run."""


def gestures_of(
    line: HandLine, cells: Sequence[Cell], first: int, last: int
) -> tuple[Gesture, ...]:
    """What the hand does in the cells from ``first`` to ``last``."""
    begin, end = (
        bisect_left(line.onsets, time, key=lambda onset: onset.time)
        for time in (cells[first].start, cells[last].end)
    )
    made, cell = [], first
    for index in range(begin, end):
        onset = line.onsets[index]
        while onset.time >= cells[cell].end:
            cell += 1
        way = _outer(onset) - _outer(line.onsets[index - 1]) if index else 0
        keys = min(len(onset.pitches), CHORD)
        made.append(Gesture(cell - first, onset.time - cells[cell].start, keys, way))
    return tuple(made)


def _outer(onset: Onset) -> int:
    """The letter of the key on the little finger's side."""
    letters = [pitch.diatonic for pitch in onset.pitches]
    return min(letters) if onset.hand is Hand.LEFT else max(letters)


def shared(known: Sequence[Gesture], other: Sequence[Gesture]) -> float:
    """Which part (0 to 1) of what a hand does in ``other`` it does in ``known`` too, at the same
    times from any cell on."""
    places = {(gesture.cell, gesture.time): gesture for gesture in known}
    turns = {one.cell - two.cell for one in known for two in other}
    agreed = (
        sum(
            (before := places.get((each.cell + turn, each.time))) is not None
            and _is_like(before, each)
            for each in other
        )
        for turn in turns
    )
    return max(agreed, default=0) / len(other) if other else 0.0


def _is_like(one: Gesture, other: Gesture) -> bool:
    """Whether the hand does the same."""
    as_wide = one.way * other.way > 0 and min(abs(one.way), abs(other.way)) >= WIDE
    return one.keys == other.keys and abs(one.way - other.way) <= (NEAR if as_wide else 0)
