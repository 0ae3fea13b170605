"""The same music elsewhere, but not to the note: how much of a place another has already.

Enters: lines and cells. Leaves: shares of what is struck. Another ending, upbeat, octave or step
makes no new passage, nor does another note in a chord. Knows no difficulty.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from engrave.music.notes import Hand
from engrave.music.units import Quarters
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell
from engrave.survey.recurrence import FEWEST_STROKES

Strikes = Mapping[Quarters, frozenset[int]]
"""What a hand strikes in a cell: by the time from its start, letters counted from C0."""

CHORD, OCTAVE = 3, 7
"""Keys of a chord; letters of an octave."""

SHIFTS_TRIED = 2
"""Of the steps between two places: that of most top notes, and the one after it."""


class Variants:
    """What each hand strikes in each cell, to be held against other cells."""

    def __init__(self, lines: Mapping[Hand, HandLine], cells: Sequence[Cell]) -> None:
        self._strikes = {hand: _strikes(line, cells) for hand, line in lines.items()}
        self._shapes = {
            hand: [_shape(cell) for cell in strikes] for hand, strikes in self._strikes.items()
        }

    def share(self, known: range, other: range, hands: Iterable[Hand]) -> float:
        """Which part (0 to 1) of what ``hands`` strike in ``other`` cells ``known`` ones have too.

        In the same rhythm, from any beat of them on, each hand on steps of its own (a tune on
        the same keys, perhaps octaves away).
        """
        taking = [hand for hand in hands if hand in self._strikes]
        whole = sum(len(self._strikes[hand][cell]) for hand in taking for cell in other)
        any_step = whole >= FEWEST_STROKES * len(other)
        parts = (
            sum(self._alike(hand, known, other, turn, any_step) for hand in taking)
            for turn in self._meetings(known, other, taking)
        )
        return max(parts, default=0) / whole if whole else 0.0

    def _meetings(self, known: range, other: range, hands: Iterable[Hand]) -> set[int]:
        """How many cells on the places can lie: where at least one cell has the same shape."""
        return {
            there - here
            for hand in hands
            for there in other
            if (shape := self._shapes[hand][there])
            for here in known
            if self._shapes[hand][here] == shape
        }

    def _alike(self, hand: Hand, known: range, other: range, turn: int, any_step: bool) -> int:
        """How many of the hand's strokes agree, on the steps on which most do; else in octaves."""
        pairs = [
            (before, keys)
            for cell in other
            if cell - turn in known
            for time, keys in self._strikes[hand][cell].items()
            if (before := self._strikes[hand][cell - turn].get(time))
        ]
        steps = Counter(max(keys) - max(before) for before, keys in pairs)
        return max(
            (
                sum(_agree(before, keys, step) for before, keys in pairs)
                for step, _ in steps.most_common(SHIFTS_TRIED)
                if any_step or step % OCTAVE == 0
            ),
            default=0,
        )


def _agree(before: frozenset[int], keys: frozenset[int], step: int) -> bool:
    """Whether the same keys are struck, ``step`` letters on; whole octaves on, a chord may have
    one of them otherwise."""
    moved = {key + step for key in before}
    most = max(len(moved), len(keys))
    spared = 1 if most >= CHORD and step % OCTAVE == 0 else 0
    return len(moved & keys) >= most - spared


def _strikes(line: HandLine, cells: Sequence[Cell]) -> list[Strikes]:
    return [
        {onset.time - cell.start: frozenset(p.diatonic for p in onset.pitches) for onset in struck}
        for cell, struck in zip(cells, line.by_cell(cells), strict=True)
    ]


def _shape(strikes: Strikes) -> tuple[tuple[Quarters, int], ...]:
    """The rhythm of a cell and how its top notes go."""
    return tuple(_steps(strikes))


def _steps(strikes: Strikes) -> Iterator[tuple[Quarters, int]]:
    first = max(next(iter(strikes.values()))) if strikes else 0
    for time, keys in strikes.items():
        yield time, max(keys) - first
