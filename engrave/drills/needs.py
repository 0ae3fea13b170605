"""How much of a passage needs a family: which beats have the trouble that it answers.

Enters: a passage and the moments of a trouble. Leaves: a ``Need``. Knows no family.
"""

from collections.abc import Container, Iterable
from dataclasses import dataclass
from fractions import Fraction

from engrave.music.notes import Hand
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.remarks import Remark

Extent = tuple[Quarters, Quarters]
"""From a time to a time, in quarters from the start of the passage."""


ALONE = "why.each"
"""The sentence that is nothing but its reasons."""


@dataclass(frozen=True, slots=True)
class Need:
    """What a family would answer: in which ``share`` of the beats, in which hands, and ``why``.

    ``urgency`` is that of the trouble, whatever its share: what is most pressing comes first.
    ``then`` names the families that belong to the answer. ``each`` says of every hand what it has
    of the trouble, where that can be said, and ``joined`` is the sentence in which these stand;
    ``why`` says it of all hands, where it is not said of each. ``variants`` are those that answer
    it, where not all do.
    """

    share: Fraction
    urgency: int
    hands: tuple[Hand, ...]
    why: Remark | None = None
    then: tuple[str, ...] = ()
    each: tuple[tuple[Hand, Remark], ...] = ()
    joined: str = ALONE
    variants: tuple[str, ...] = ()

    def told(self, hands: Container[Hand]) -> tuple[Remark, ...]:
        """Why there are drills for these ``hands``, in one sentence."""
        reasons = tuple(said for hand, said in self.each if hand in hands)
        if not reasons:
            return (self.why,) if self.why else ()
        if len(reasons) == 1 and self.joined == ALONE:
            return reasons
        return (Remark.of(self.joined, reasons=reasons),)

    @property
    def weight(self) -> Fraction:
        """How much of the passage's difficulty it is: the share, pressing troubles up to twice."""
        return self.share * (1 + Fraction(self.urgency, MOST_URGENT))


MOST_URGENT = 6
"""Leaps 6, two rhythms at once 5, voices 4, fast runs 3, positions 2, both hands 1."""


def beats(passage: Passage) -> tuple[Extent, ...]:
    """The beats of the passage; a bar is counted from its own first beat."""
    extents: list[Extent] = []
    for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True):
        now, end = start, start + bar.length
        while now < end:
            extents.append((now, min(now + bar.meter.beat, end)))
            now += bar.meter.beat
    return tuple(extents)


def share(passage: Passage, troubled: Iterable[Extent]) -> Fraction:
    """In which part of the beats there is trouble; a moment ends where it begins."""
    all_beats, extents = beats(passage), list(troubled)
    count = sum(
        any(first < end and (last > start or first >= start) for first, last in extents)
        for start, end in all_beats
    )
    return Fraction(count, len(all_beats))


def moments(times: Iterable[Quarters]) -> list[Extent]:
    """Each moment as an extent without length."""
    return [(time, time) for time in times]


def seconds(passage: Passage, length: Quarters) -> float:
    """How long so many quarters last at the goal."""
    return float(length * 60 / passage.goal.quarters_per_minute)
