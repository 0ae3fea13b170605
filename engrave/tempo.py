"""Metronome marks: the traditional scale, and the ladder from the starting mark to the goal.

Enters: a goal, a beat unit, what the student has reached. Leaves: a ``Ladder``. Knows no music.
"""

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.model import Ladder, Remark
from engrave.units import Quarters

SCALE: tuple[int, ...] = (
    *range(40, 60, 2),
    *range(60, 72, 3),
    *range(72, 120, 4),
    *range(120, 144, 6),
    *range(144, 209, 8),
)
"""The traditional metronome scale, 39 marks (dictionaries of music, s.v. "metronome")."""

LOWEST, HIGHEST = SCALE[0], SCALE[-1]

BEAT_UNITS: dict[str, Quarters] = {
    "whole": Fraction(4),
    "dotted-half": Fraction(3),
    "half": Fraction(2),
    "dotted-quarter": Fraction(3, 2),
    "quarter": Fraction(1),
    "dotted-eighth": Fraction(3, 4),
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
}
"""Beat units by the names that the marks file uses, in quarters."""


@dataclass(frozen=True, slots=True)
class Goal:
    """Where the student is going: ``per_minute`` beats of ``beat`` quarters.

    ``start`` is the first mark (None: half the goal), ``step`` how many marks of the scale to go up
    at a time, ``reached`` the mark already played clean; all in the same beat.
    """

    beat: Quarters
    per_minute: Fraction
    start: Fraction | None = None
    step: int = 2
    reached: Fraction | None = None

    @property
    def quarters_per_minute(self) -> Fraction:
        """The goal in quarter notes a minute (MusicXML 4.0 ``sound/@tempo``)."""
        return self.beat * self.per_minute

    def scaled(self, factor: Fraction, beat: Quarters) -> "Goal":
        """The same goal for a drill that goes ``factor`` times as many of its own ``beat``."""

        def scale(mark: Fraction | None) -> Fraction | None:
            return None if mark is None else mark * factor

        return replace(
            self,
            beat=beat,
            per_minute=self.per_minute * factor,
            start=scale(self.start),
            reached=scale(self.reached),
        )


def floor_to_scale(mark: Fraction) -> int:
    """The nearest mark of the scale at or below ``mark``; the lowest where all lie above."""
    return max((step for step in SCALE if step <= mark), default=LOWEST)


def _whole(mark: Fraction) -> int:
    return math.floor(mark + Fraction(1, 2))


def ladder(goal: Goal) -> Ladder:
    """The marks from the start to the goal, two (``goal.step``) of the scale at a time.

    Starts at half the goal, rounded down onto the scale; the goal comes last whatever the
    remainder. When a mark would fall below 40 or above 208 the whole ladder moves to the double or
    half unit and says so ("start slow, raise by two marks": common practice, no source).
    """
    moved, asked = None, goal
    while goal.per_minute > HIGHEST:
        goal = goal.scaled(Fraction(1, 2), goal.beat * 2)
    while _first(goal) < LOWEST and goal.per_minute * 2 <= HIGHEST:
        goal = goal.scaled(Fraction(2), goal.beat / 2)
    if goal.beat != asked.beat:
        moved = Remark.of("ladder.moved", asked=asked.beat, unit=goal.beat)
    last = _whole(goal.per_minute)
    first = min(max(floor_to_scale(_first(goal)), LOWEST), last)
    if goal.start is not None:
        first = min(_whole(goal.start), last)
    above = [mark for mark in SCALE if first < mark < last]
    marks = [first, *above[goal.step - 1 :: goal.step]]
    if marks[-1] != last:
        marks.append(last)
    reached = None
    if goal.reached is not None:
        reached = max((mark for mark in marks if mark <= _whole(goal.reached)), default=None)
    return Ladder(goal.beat, tuple(marks), reached, moved)


def _first(goal: Goal) -> Fraction:
    return goal.start if goal.start is not None else goal.per_minute / 2
