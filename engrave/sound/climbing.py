"""A drill as it is practised: three times at a mark, a bar of clicks before each, then the next.

Enters: a sheet and its ladder. Leaves: a ``Climb``. Knows no files.
"""

from dataclasses import dataclass
from fractions import Fraction

from engrave.music.drill import Ladder
from engrave.music.sheet import Sheet
from engrave.music.units import Quarters
from engrave.sound.in_time import at_mark, timeline
from engrave.sound.model import Timeline

TIMES = 3
"""Playings at a mark: the booklet's rule."""


@dataclass(frozen=True, slots=True)
class Take:
    """The drill once, from ``start`` (where it is counted in), in quarters from the beginning."""

    start: Quarters
    heard: Timeline

    @property
    def zero(self) -> Quarters:
        """Where the drill's own time begins."""
        return self.start + self.heard.count_in

    @property
    def end(self) -> Quarters:
        """Where the next is counted in."""
        return self.zero + self.heard.end


@dataclass(frozen=True, slots=True)
class Climb:
    """Takes one after the other, those of a mark together."""

    sheet: Sheet
    takes: tuple[Take, ...]

    @property
    def end(self) -> Quarters:
        """Where the last click would be followed by another."""
        return self.takes[-1].end


def marks_ahead(ladder: Ladder) -> tuple[int, ...]:
    """From the mark to play next, in the heavy frame, to the goal; at the end that alone."""
    return ladder.marks[ladder.marks.index(ladder.next or ladder.marks[-1]) :]


def climb(sheet: Sheet, ladder: Ladder, marks: tuple[int, ...], times: int = TIMES) -> Climb:
    """The drill ``times`` at each of ``marks``."""
    takes: list[Take] = []
    now = Fraction(0)
    first = timeline(sheet, ladder, marks[0])
    for mark in marks:
        heard = at_mark(first, sheet, mark)
        for _ in range(times):
            takes.append(Take(now, heard))
            now = takes[-1].end
    return Climb(sheet, tuple(takes))
