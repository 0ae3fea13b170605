"""Where the hands divide the same time differently: three against two, five against four.

Enters: a passage for both hands. Leaves: ``Meeting``s, stretches of whole beats that both hands
begin together and divide evenly, neither number a multiple of the other. Knows no drills.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.units import Quarters
from engrave.passage.model import Passage

MOST_UNITS = 60
"""Of the common grid; nobody counts more."""


@dataclass(frozen=True, slots=True)
class Meeting:
    """From ``start`` for ``span`` quarters the hands strike ``right`` and ``left`` even notes."""

    start: Quarters
    span: Quarters
    bar: int
    right: tuple[Onset, ...]
    left: tuple[Onset, ...]

    @property
    def ratio(self) -> tuple[int, int]:
        """How many notes of the right hand stand against how many of the left."""
        return len(self.right), len(self.left)

    @property
    def units(self) -> int:
        """The steps of the finest grid on which both hands fall: the least common multiple."""
        return lcm(*self.ratio)

    @property
    def end(self) -> Quarters:
        """Where the hands may meet again."""
        return self.start + self.span

    def of(self, hand: Hand) -> tuple[Onset, ...]:
        """What a hand strikes."""
        return self.right if hand is Hand.RIGHT else self.left


def meetings(passage: Passage) -> tuple[Meeting, ...]:
    """All of them in order, each in the shortest stretch; none where a hand is not marked."""
    if len(passage.hands) < 2:
        return ()
    meets: list[Meeting] = []
    for bar, start in enumerate(passage.sheet.starts):
        for meeting in _in_bar(passage, bar, start):
            if all(meeting.start >= each.end or meeting.end <= each.start for each in meets):
                meets.append(meeting)
    return tuple(sorted(meets, key=lambda each: each.start))


def _in_bar(passage: Passage, index: int, start: Quarters) -> Iterator[Meeting]:
    """Those of one bar: of a beat, of two, of the whole bar, the shortest first."""
    bar = passage.sheet.bars[index]
    beat = bar.meter.beat
    for span in dict.fromkeys((beat, 2 * beat, bar.length)):
        now = start
        while now + span <= start + bar.length:
            right, left = (_evenly(passage.lines[hand], now, span) for hand in Hand)
            if right and left and len(right) % len(left) and len(left) % len(right):
                meeting = Meeting(now, span, index, right, left)
                if meeting.units <= MOST_UNITS:
                    yield meeting
            now += span


def _evenly(line: Sequence[Onset], start: Quarters, span: Quarters) -> tuple[Onset, ...]:
    """What is struck in a stretch, if it divides it evenly into two or more; else nothing."""
    inside = tuple(onset for onset in line if start <= onset.time < start + span)
    step = span / len(inside) if inside else Fraction(0)
    even = all(onset.time == start + number * step for number, onset in enumerate(inside))
    return inside if even and len(inside) > 1 else ()


def principal(meets: Sequence[Meeting]) -> Meeting:
    """The first of the kind that comes most often."""
    counts = Counter((each.ratio, each.span) for each in meets)
    return max(meets, key=lambda each: (counts[each.ratio, each.span], -each.start))
