"""The music of a spot, as far as it can be counted on the page.

Enters: lines, cells, figures. Leaves: a ``Scene``, and what its tellers count and say alike.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.units import Quarters
from engrave.passage.runs import Run
from engrave.remarks import Remark
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell, Figures, LoadShare

OCTAVE = 8
"""Letters of the staff."""

FEWEST_GRIPS = 3
"""Chords, double notes or octaves that are told."""


@dataclass(frozen=True, slots=True)
class Scene:
    """The spot as its music: cells ``first`` to ``last`` of the piece, both inclusive."""

    lines: Mapping[Hand, HandLine]
    cells: Sequence[Cell]
    figures: Figures
    first: int
    last: int
    runs: Mapping[Hand, Sequence[Run]]
    leaping: Mapping[Hand, Sequence[bool]]
    """For every hand and onset, whether the hand leaps to it."""

    def worst(self, part: LoadShare) -> int:
        """The cell in which a load is highest."""
        figures = self.figures[part.side][part.load]
        return max(range(self.first, self.last + 1), key=lambda index: (figures[index], -index))

    def onsets(self, hand: Hand, first: int, last: int) -> list[Onset]:
        """What a hand strikes in some cells."""
        struck = self.lines[hand].onsets
        begin = bisect_left(struck, self.cells[first].start, key=_time)
        return list(struck[begin : bisect_left(struck, self.cells[last].end, key=_time)])

    def measure_of(self, cell: int) -> tuple[int, int]:
        """The cells of the spot in one measure with ``cell``."""
        name, bar = self.cells[cell].measure, self.cells[cell].bar
        alike = [
            index
            for index in range(self.first, self.last + 1)
            if (self.cells[index].measure, self.cells[index].bar) == (name, bar)
        ]
        return alike[0], alike[-1]


def _time(onset: Onset) -> Quarters:
    return onset.time


def hand_of(part: LoadShare) -> Hand:
    """The hand whose part it is; ``ValueError`` for one of both together."""
    return Hand(part.side.value)


def width(start: Pitch, end: Pitch) -> int:
    """How many letters of the staff lie from one pitch to another, both counted."""
    return abs(end.diatonic - start.diatonic) + 1


def is_octave(onset: Onset) -> bool:
    """Whether it is two keys an octave apart."""
    return len(onset.pitches) == 2 and onset.pitches[1].midi - onset.pitches[0].midi == 12


def octaves_in(onsets: Sequence[Onset]) -> int:
    """How many octaves there are, if most of it is octaves; else 0."""
    count = sum(map(is_octave, onsets))
    return count if count >= FEWEST_GRIPS and 2 * count > len(onsets) else 0


def said(kind: str, **values: object) -> Remark:
    """The sentence of a kind."""
    return Remark.of(f"survey.finding.{kind}", **values)
