"""The leaps of a hand: where it is displaced by a seventh or more, how far, and how hard that is.

Enters: fingered onsets of one hand. Leaves: ``Leap``s. How far a hand is displaced ``displacement``
says; what is drilled of a leap, this module does not know.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from engrave.fingering.keyboard import index_of_difficulty, width_mm
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.units import Quarters
from engrave.passage.displacement import Displacement, displacement, span_of


@dataclass(frozen=True, slots=True)
class Leap:
    """Two successive onsets of one hand between which it is displaced.

    ``start`` and ``end`` index the onsets given; ``moved`` says from which key to which the finger
    that lands is carried. ``time`` in quarters from onset to onset, ``rest`` the silence in it.
    ``flagged`` marks the passage's two worst.
    """

    start: int
    end: int
    moved: Displacement
    time: Quarters
    rest: Quarters
    flagged: bool = False

    @property
    def index_of_difficulty(self) -> float:
        """log2(D/W + 1) in bits, D the displacement, W the width of the key it lands on."""
        return index_of_difficulty(self.moved.mm, width_mm(self.moved.end))

    @property
    def load(self) -> float:
        """Bits of difficulty a quarter note: by this the worst leaps are found."""
        return self.index_of_difficulty / float(self.time)


def leaps(onsets: Sequence[Onset], hand: Hand) -> tuple[Leap, ...]:
    """Every leap of a line, the two worst flagged."""
    moves = (leap_between(onsets, start, start + 1, hand) for start in range(len(onsets) - 1))
    return flag_worst(move for move in moves if move.moved.is_leap)


def leap_between(onsets: Sequence[Onset], start: int, end: int, hand: Hand) -> Leap:
    """The move from one onset to another, whether or not it is a leap."""
    before, after = onsets[start], onsets[end]
    released = before.time + before.length
    return Leap(
        start,
        end,
        displacement(onsets, end, hand)
        or Displacement(*outer_notes(before, after, hand), span_of(before, after)),
        after.time - before.time,
        max(after.time - released, Quarters(0)),
    )


def outer_notes(before: Onset, after: Onset, hand: Hand) -> tuple[Pitch, Pitch]:
    """The note of either onset that lies on the little finger's side."""
    outer = -1 if hand is Hand.RIGHT else 0
    return before.pitches[outer], after.pitches[outer]


def flag_worst(every: Iterable[Leap], count: int = 2) -> tuple[Leap, ...]:
    """The leaps, the ``count`` worst of them flagged: index of difficulty over time available.

    The same displacement twice is one; of equals the first is taken.
    """
    leaps = tuple(every)
    different: dict[Displacement, Leap] = {}
    for leap in sorted(leaps, key=lambda leap: (-leap.load, leap.start)):
        different.setdefault(leap.moved, leap)
    worst = set(list(different.values())[:count])
    return tuple(replace(leap, flagged=leap in worst) for leap in leaps)
