"""Metronome marks: the traditional scale, and the ladder from the starting mark to the goal.

Enters: a goal, a beat unit, what the student has reached. Leaves: a ``Ladder``. Knows no music.
"""

import math
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.errors import EngraveError
from engrave.music.drill import Ladder
from engrave.music.sheet import Meter
from engrave.music.units import Quarters, fraction_text, is_dotted
from engrave.remarks import Remark

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

EIGHTH = Fraction(1, 2)
SIMPLE: tuple[Quarters, ...] = (Fraction(1), EIGHTH, Fraction(2))
COMPOUND: tuple[Quarters, ...] = (Fraction(3, 2), EIGHTH, Fraction(3))
"""Units that a metronome user counts, in simple and in compound time."""

DOTTED_EIGHTH = Fraction(3, 4)
"""Counted where it is the beat (6/16), and nowhere as half of one."""


@dataclass(frozen=True, slots=True)
class Goal:
    """Where the student is going: ``per_minute`` beats of ``beat`` quarters.

    ``start`` is the first mark (None: half the goal), ``step`` how many marks of the scale to go up
    at a time, ``reached`` the mark already played clean; all in the same beat, which stands as it
    is where the teacher has written it (``beat_stands``).
    """

    beat: Quarters
    per_minute: Fraction
    start: Fraction | None = None
    step: int = 2
    reached: Fraction | None = None
    beat_stands: bool = False

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
            beat_stands=self.beat_stands and beat == self.beat,
        )


def floor_to_scale(mark: Fraction) -> int:
    """The nearest mark of the scale at or below ``mark``; the lowest where all lie above."""
    return max((step for step in SCALE if step <= mark), default=LOWEST)


def _whole(mark: Fraction) -> int:
    return math.floor(mark + Fraction(1, 2))


def nearest_mark(mark: Fraction) -> Fraction:
    """The mark of the scale that is nearest, of two as near the lower."""
    return Fraction(min(SCALE, key=lambda step: (abs(step - mark), step)))


def on_the_scale(per_minute: Fraction) -> Fraction:
    """What words stand for, as a metronome has it; beyond its ends as it is."""
    return nearest_mark(per_minute) if LOWEST <= per_minute <= HIGHEST else per_minute


def ladder(goal: Goal, meter: Meter | None = None, derived: bool = False) -> Ladder:
    """The marks from the start to the goal, two (``goal.step``) of the scale at a time.

    Starts at half the goal, rounded down onto the scale; the goal comes last whatever the
    remainder. When a mark would fall below 40 or above 208 the whole ladder moves to another unit
    and says so; where no unit holds both ends, it starts at 40 ("start slow, raise by two marks":
    common practice, no source). ``meter`` says whether time is compound, else the beat does; a goal
    that is ``derived`` from another goes to the nearest mark of the scale. Raises ``EngraveError``
    where no unit holds the goal.
    """
    compound = is_dotted(meter.beat if meter else goal.beat)
    asked, goal = goal, _countable(goal, compound, meter.beat if meter else goal.beat)
    if derived:
        goal = replace(goal, per_minute=nearest_mark(goal.per_minute))
    moved = None
    if goal.beat != asked.beat:
        is_meters = meter is not None and goal.beat == meter.beat and _fits(asked)
        key = "ladder.meter" if is_meters else "ladder.moved"
        moved = Remark.of(key, asked=asked.beat, unit=goal.beat)
    last = _whole(goal.per_minute)
    first = floor_to_scale(_first(goal)) if goal.start is None else _whole(goal.start)
    first = min(max(first, LOWEST), last)
    above = [mark for mark in SCALE if first < mark < last]
    marks = [first, *above[goal.step - 1 :: goal.step]]
    if marks[-1] != last:
        marks.append(last)
    reached = None
    if goal.reached is not None:
        reached = max((mark for mark in marks if mark <= _whole(goal.reached)), default=None)
    return Ladder(goal.beat, tuple(marks), reached, moved)


def beat_name(beat: Quarters) -> str:
    """``dotted-quarter``; the plain number of quarters where the unit has no name."""
    names = {unit: name for name, unit in BEAT_UNITS.items()}
    return names.get(beat, f"beat of {fraction_text(beat)} quarters")


def can_be_counted(beat: Quarters, meter: Meter) -> bool:
    """Whether a measure is so many beats, or a beat so many measures."""
    return any(ratio.denominator == 1 for ratio in (meter.length / beat, beat / meter.length))


def asked_beat(made: Ladder) -> Quarters:
    """The beat in which a ladder was asked for, in quarters; mostly the one that it has."""
    asked = dict(made.moved.values)["asked"] if made.moved else made.beat_unit
    assert isinstance(asked, Fraction)
    return asked


def _countable(goal: Goal, compound: bool, beat: Quarters) -> Goal:
    """The goal in its own unit, or in the next in which all marks are on the metronome.

    That is the half or the double, in compound time the eighth or back. Where there is none, the
    goal keeps the unit in which at least it is on the metronome itself.
    """
    told = [goal.scaled(goal.beat / unit, unit) for unit in _units(goal, compound, beat)]
    possible = [each for each in told if LOWEST <= each.per_minute <= HIGHEST]
    if not possible:
        pace = "fast" if goal.quarters_per_minute > HIGHEST else "slow"
        raise EngraveError(
            f"a goal of {float(goal.per_minute):g} {beat_name(goal.beat)}s a minute is too {pace} "
            "for a metronome",
            hint=f"a goal lies between {LOWEST} and {HIGHEST} in some beat, as in "
            "tempo: {beat: quarter, goal: 96}",
        )
    whole = [each for each in possible if _whole(_first(each)) >= LOWEST]
    return (whole or possible)[0]


def _fits(goal: Goal) -> bool:
    """Whether the metronome has the goal's marks as they are asked for."""
    return _whole(_first(goal)) >= LOWEST and goal.per_minute <= HIGHEST


def _units(goal: Goal, compound: bool, beat: Quarters) -> list[Quarters]:
    """Units for a ladder, the one to prefer first: the goal's own where it can be counted.

    Else the ``beat`` of the meter: quarters in 6/8 become dotted quarters, and never dotted
    eighths, which are nearer in length and which nobody counts there.
    """
    usual = COMPOUND if compound else SIMPLE
    own = goal.beat
    counted = (*usual, DOTTED_EIGHTH) if compound else usual
    if not goal.beat_stands and own not in counted:
        near = min(usual, key=lambda unit: (max(unit / own, own / unit), usual.index(unit)))
        own = beat if beat in counted else near
    if compound or is_dotted(own):
        beside = (EIGHTH,) if own != EIGHTH else COMPOUND[:1]
        beside = (*beside, own * 2)
    else:
        beside = (own / 2, own * 2)
    allowed = (*usual, *(COMPOUND if is_dotted(own) else SIMPLE)) if goal.beat_stands else usual
    return list(dict.fromkeys((own, *(unit for unit in beside if unit in allowed), *usual)))


def _first(goal: Goal) -> Fraction:
    return goal.start if goal.start is not None else goal.per_minute / 2
