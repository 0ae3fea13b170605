"""The same music elsewhere: where the cells of a stretch come back.

Enters: lines and cells. Leaves: the first cells of other places. Knows no difficulty.
"""

from collections.abc import Iterable, Mapping, Sequence

from engrave.music.notes import Hand
from engrave.survey.cells import cell_at
from engrave.survey.lines import Line
from engrave.survey.model import Cell

ALIKE = 0.8
"""The share of beats that must agree, so that another landing or upbeat makes no new passage."""

FEWEST_STROKES = 2
"""Strokes a beat: fewer are a tune, and tunes in even notes are alike without being one figure."""

SHORTEST_FIGURE = 2
"""Beats of a figure that can be told from another."""

Struck = tuple[tuple[object, tuple[int, ...]], ...]
"""What a hand strikes in a cell: times from its start, and keys."""


class Contents:
    """What each hand strikes in each cell."""

    def __init__(self, lines: Mapping[Hand, Line], cells: Sequence[Cell]) -> None:
        self._beats = [cell.beat for cell in cells]
        self._struck = {hand: _struck(line, cells) for hand, line in lines.items()}
        self._shapes = {hand: _shapes(line, cells) for hand, line in lines.items()}

    def elsewhere(self, first: int, last: int, hands: Iterable[Hand]) -> list[int]:
        """The first cells of all other places, not overlapping, that hold cells ``first`` to
        ``last`` again: the same keys in the same rhythm, perhaps octaves away.
        """
        lines = [self._struck[hand] for hand in hands if hand in self._struck]
        count = last - first + 1
        found: list[int] = []
        for start in range(len(self._beats) - count + 1):
            apart = all(abs(start - other) >= count for other in (first, *found))
            begins_alike = self._beats[start] == self._beats[first]
            if begins_alike and apart and _comes_back(lines, first, start, count):
                found.append(start)
        return found

    def is_like(self, one: range, other: range, hands: Iterable[Hand]) -> bool:
        """Whether ``other`` cells hold the figure of ``one`` on other steps: the same rhythm and
        the same letters up and down, beat after beat, from any beat of the figure on.
        """
        if min(len(one), len(other)) < SHORTEST_FIGURE:
            return False
        lines = [self._shapes[hand] for hand in hands if hand in self._shapes]
        struck = sum(len(line[cell]) for line in lines for cell in other)
        if struck < FEWEST_STROKES * len(other):
            return False
        return any(
            all(_agree(line, one, other, turn) >= ALIKE * len(other) for line in lines)
            for turn in range(len(one))
        )

    def different(self) -> int:
        """How many different things the hands strike in a cell, over both hands, whole octaves
        apart counted once: what there is to learn.
        """
        return sum(
            len({_in_one_octave(struck) for struck in line if struck})
            for line in self._struck.values()
        )


def _struck(line: Line, cells: Sequence[Cell]) -> list[Struck]:
    starts = [cell.start for cell in cells]
    found: list[list[tuple[object, tuple[int, ...]]]] = [[] for _ in cells]
    for onset in line.onsets:
        at = cell_at(starts, onset.time)
        keys = tuple(pitch.midi for pitch in onset.pitches)
        found[at].append((onset.time - cells[at].start, keys))
    return [tuple(entry) for entry in found]


def _shapes(line: Line, cells: Sequence[Cell]) -> list[Struck]:
    """What a hand strikes in each cell, in letters from its first key."""
    starts = [cell.start for cell in cells]
    found: list[list[tuple[object, tuple[int, ...]]]] = [[] for _ in cells]
    bases: dict[int, int] = {}
    for onset in line.onsets:
        at = cell_at(starts, onset.time)
        base = bases.setdefault(at, onset.pitches[0].diatonic)
        letters = tuple(pitch.diatonic - base for pitch in onset.pitches)
        found[at].append((onset.time - cells[at].start, letters))
    return [tuple(entry) for entry in found]


def _agree(shapes: Sequence[Struck], one: range, other: range, turn: int) -> int:
    """How many cells of ``other`` hold the shape that ``one`` has there, ``turn`` cells on."""
    return sum(
        shapes[cell] == shapes[one[(place + turn) % len(one)]] for place, cell in enumerate(other)
    )


def _comes_back(lines: Sequence[Sequence[Struck]], first: int, start: int, count: int) -> bool:
    """Whether enough of the ``count`` cells from ``start`` hold what those from ``first`` hold."""
    unlike = 0
    for k in range(count):
        if not all(_is_alike(line[first + k], line[start + k]) for line in lines):
            unlike += 1
            if count - unlike < ALIKE * count:
                return False
    return True


def _is_alike(mine: Struck, other: Struck) -> bool:
    return mine == other or (
        len(mine) == len(other) and _in_one_octave(mine) == _in_one_octave(other)
    )


def _in_one_octave(struck: Struck) -> Struck:
    """The same strokes with the lowest first key in the octave from 0."""
    if not struck:
        return struck
    octave = struck[0][1][0] // 12 * 12
    return tuple((time, tuple(key - octave for key in keys)) for time, keys in struck)
