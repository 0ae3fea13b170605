"""The same music elsewhere: where the cells of a spot come back.

Enters: lines and cells. Leaves: the first cells of other places. Knows no difficulty.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

from engrave.music.notes import Hand, Pitch
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell

ALIKE = 0.8
"""The share of beats that must agree, so that another landing or upbeat makes no new passage."""

FEWEST_STROKES = 2
"""Strokes a beat: fewer are a tune, and tunes in even notes are alike without being one figure."""

SHORTEST_FIGURE = 2
"""Beats of a figure that can be told from another."""

Struck = tuple[tuple[object, tuple[int, ...]], ...]
"""What a hand strikes in a cell: times from its start, and keys.

Compared by numbers, one for each different content, 0 for nothing: a long piece compares often.
"""


class Contents:
    """What each hand strikes in each cell."""

    def __init__(self, lines: Mapping[Hand, HandLine], cells: Sequence[Cell]) -> None:
        self._beats = [cell.beat for cell in cells]
        numbers: dict[Struck, int] = {(): 0}
        self._struck = {hand: _struck(line, cells, numbers) for hand, line in lines.items()}
        self._shapes = {hand: _shapes(line, cells, numbers) for hand, line in lines.items()}
        self._counts = {
            hand: [len(struck) for struck in line.by_cell(cells)] for hand, line in lines.items()
        }

    def elsewhere(self, first: int, last: int, hands: Iterable[Hand]) -> list[int]:
        """The first cells of all other places, not overlapping, that hold cells ``first`` to
        ``last`` again: the same keys in the same rhythm, perhaps octaves away.
        """
        lines = [self._struck[hand] for hand in hands if hand in self._struck]
        count = last - first + 1
        others: list[int] = []
        for start in range(len(self._beats) - count + 1):
            apart = all(abs(start - other) >= count for other in (first, *others))
            begins_alike = self._beats[start] == self._beats[first]
            if begins_alike and apart and _comes_back(lines, first, start, count):
                others.append(start)
        return others

    def is_like(self, one: range, other: range, hands: Iterable[Hand]) -> bool:
        """Whether ``other`` cells hold the figure of ``one`` on other steps: the same rhythm and
        the same letters up and down, beat after beat, from any beat of the figure on.
        """
        if min(len(one), len(other)) < SHORTEST_FIGURE:
            return False
        taking = [hand for hand in hands if hand in self._shapes]
        struck = sum(self._counts[hand][cell] for hand in taking for cell in other)
        if struck < FEWEST_STROKES * len(other):
            return False
        lines = [self._shapes[hand] for hand in taking]
        return any(
            all(_agree(line, one, other, turn) >= ALIKE * len(other) for line in lines)
            for turn in range(len(one))
        )

    def different(self) -> int:
        """How many different things the hands strike in a cell, over both hands, whole octaves
        apart counted once: what there is to learn.
        """
        return sum(len(set(line) - {0}) for line in self._struck.values())


def _struck(line: HandLine, cells: Sequence[Cell], numbers: dict[Struck, int]) -> list[int]:
    """What a hand strikes in each cell, the lowest first key in the octave from 0."""
    keys = _by_cell(line, cells, lambda pitch: pitch.midi)
    return _numbered((_from(entry, _first(entry) // 12 * 12) for entry in keys), numbers)


def _shapes(line: HandLine, cells: Sequence[Cell], numbers: dict[Struck, int]) -> list[int]:
    """What a hand strikes in each cell, in letters from its first key."""
    shapes = _by_cell(line, cells, lambda pitch: pitch.diatonic)
    return _numbered((_from(entry, _first(entry)) for entry in shapes), numbers)


def _by_cell(line: HandLine, cells: Sequence[Cell], height: Callable[[Pitch], int]) -> list[Struck]:
    return [
        tuple((onset.time - cell.start, tuple(map(height, onset.pitches))) for onset in struck)
        for cell, struck in zip(cells, line.by_cell(cells), strict=True)
    ]


def _first(struck: Struck) -> int:
    """The lowest of the first keys; 0 for nothing."""
    return struck[0][1][0] if struck else 0


def _from(struck: Struck, base: int) -> Struck:
    return tuple((time, tuple(key - base for key in keys)) for time, keys in struck)


def _numbered(every: Iterable[Struck], numbers: dict[Struck, int]) -> list[int]:
    return [numbers.setdefault(entry, len(numbers)) for entry in every]


def _agree(shapes: Sequence[int], one: range, other: range, turn: int) -> int:
    """How many cells of ``other`` hold the shape that ``one`` has there, ``turn`` cells on."""
    return sum(
        shapes[cell] == shapes[one[(place + turn) % len(one)]] for place, cell in enumerate(other)
    )


def _comes_back(lines: Sequence[Sequence[int]], first: int, start: int, count: int) -> bool:
    """Whether enough of the ``count`` cells from ``start`` hold what those from ``first`` hold."""
    unlike = 0
    for k in range(count):
        if not all(line[first + k] == line[start + k] for line in lines):
            unlike += 1
            if count - unlike < ALIKE * count:
                return False
    return True
