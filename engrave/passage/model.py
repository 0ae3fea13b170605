"""A marked passage, ready to be drilled: the cut, each hand's onsets with fingers, the goal.

The types alone; ``onsets`` and ``assembly`` make them. Knows nothing of drills.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from engrave.errors import Source
from engrave.marks.model import DrillRequest as DrillRequest
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset, in_order
from engrave.music.ranges import MeasureRange
from engrave.music.sheet import Sheet
from engrave.music.tempo import Goal


@dataclass(frozen=True, slots=True)
class HeldOver:
    """Keys that a hand struck before the passage, at a beat (from 1) of ``measure``, and that sound
    into it; low to high. The passage strikes them anew."""

    hand: Hand
    measure: str
    beat: int
    pitches: tuple[Pitch, ...]


@dataclass(frozen=True, slots=True)
class Passage:
    """A marked range of measures, fingered.

    ``hands`` are those that the mark names; ``sheet`` is the cut with both hands as printed,
    ``lines`` the onsets of either hand, ``stretch_mm`` its thumb-to-little-finger stretch.
    ``measures`` are those that the booklet prints, ``number`` is the one by which it calls the
    passage; ``requests`` None leaves the drills to what the passage contains.
    ``held_over``: what its first onset strikes anew.
    """

    id: str
    source: Source
    measures: MeasureRange
    hands: tuple[Hand, ...]
    sheet: Sheet
    lines: Mapping[Hand, tuple[Onset, ...]]
    goal: Goal
    stretch_mm: Mapping[Hand, float]
    number: int = 0
    requests: tuple[DrillRequest, ...] | None = None
    trouble: str = ""
    remarks: str = ""
    private: str = ""
    status: str = "learning"
    held_over: tuple[HeldOver, ...] = ()

    def onsets_of(self, hands: Iterable[Hand]) -> list[Onset]:
        """The onsets of some hands in the order of the score."""
        return in_order(onset for hand in hands for onset in self.lines[hand])

    @property
    def label(self) -> str:
        """``41–44``: the measures as they are printed."""
        return self.measures.label
