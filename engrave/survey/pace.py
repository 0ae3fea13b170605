"""The goal tempo of a score: what was asked for, else its marks, its words, or a default.

Enters: a score and perhaps a goal. Leaves: a ``Pace``, which says where it comes from.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import sqrt

from engrave.errors import EngraveError
from engrave.marks.tables import BEATS
from engrave.music.tempo import BEAT_UNITS, Goal, on_the_scale
from engrave.music.units import Quarters
from engrave.remarks import Remark
from engrave.score import Score, TempoOrigin, tempos_in_force
from engrave.score.building.tempos import quickest
from engrave.survey.model import Pace

DEFAULT_BEATS = 100
"""Beats a minute where nothing says anything: a moderate tempo (common practice, no source)."""

QUICKEST = 8.0
"""Onsets a second of a hand's quick notes that a default may ask (common practice, no source)."""

GIVEN = frozenset({"survey.tempo.marks", "survey.tempo.goal"})
"""What is said of a tempo that somebody wrote or asked for."""

SLOWEST, FASTEST = 10, 600
"""Beats a minute that a goal can have."""


def goal_of(text: str, score: Score) -> Goal:
    """The goal that ``96`` or ``dotted-quarter=60`` names; without a beat it is the first meter's.

    Raises ``EngraveError`` for what is no tempo.
    """
    name, has_beat, number = text.rpartition("=")
    bars = score.sheet.bars
    word = " ".join(name.lower().split())
    named = BEAT_UNITS.get(BEATS.get(word, word))
    beat = named if has_beat else bars[0].meter.beat if bars else Quarters(1)
    try:
        per_minute = Fraction(number.strip())
    except (ValueError, ZeroDivisionError):
        per_minute = Fraction(0)
    if beat is None or not SLOWEST <= per_minute <= FASTEST:
        raise EngraveError(
            f"{text!r} is not a tempo",
            hint=f"beats a minute from {SLOWEST} to {FASTEST}, as in 96 or dotted-quarter=60; "
            f"beats are {', '.join(BEAT_UNITS)}",
        )
    return Goal(beat, per_minute)


def pace_of(score: Score, goal: Goal | None = None) -> Pace:
    """The pace of ``score``; a ``goal`` moves all its tempos in proportion to the first."""
    marked, said = _told(score)
    if goal is not None:
        first = marked[0][1] if marked else goal.quarters_per_minute
        factor = goal.quarters_per_minute / first
        changes = [(time, tempo * factor) for time, tempo in marked]
        return _pace(
            changes or [(Fraction(0), goal.quarters_per_minute)],
            _said("goal", goal.beat, goal.per_minute),
        )
    if marked:
        return _pace(marked, said)
    return _default(score)


def _pace(changes: Sequence[tuple[Quarters, Fraction]], said: Remark) -> Pace:
    (_, first), *rest = changes
    return Pace(((Fraction(0), first), *rest), said)


def _said(key: str, beat: Quarters, per_minute: Fraction, **values: object) -> Remark:
    """Where a tempo comes from, in a beat that has a name, in quarters where it has none."""
    unit = beat if beat in BEAT_UNITS.values() else Quarters(1)
    said = f"survey.tempo.{key}"
    mark = max(1, round(as_said(said, per_minute * beat / unit)))
    return Remark.of(said, unit=unit, mark=mark, **values)


def as_said(said: str, per_minute: Fraction) -> Fraction:
    """A tempo as the sentence ``said`` has it: what nobody wrote is a mark of the scale."""
    return per_minute if said in GIVEN else on_the_scale(per_minute)


def _told(score: Score) -> tuple[list[tuple[Quarters, Fraction]], Remark]:
    """The tempos that the score goes by; one on the way alone says nothing of the beginning."""
    starts, found = score.sheet.starts, tempos_in_force(score)
    if not found:
        return [], Remark("")
    changes = [
        (starts[mark.moment.bar] + mark.moment.offset, mark.beat * mark.per_minute)
        for mark in found
    ]
    first = found[0]
    if first.origin in (TempoOrigin.WORDS, TempoOrigin.PLAYBACK) and first.moment.bar > 0:
        default = _default(score)
        return [*default.changes, *changes], default.said
    key = "marks" if first.origin is TempoOrigin.MARK else first.origin.value
    return changes, _said(key, first.beat, first.per_minute, words=first.words)


def _default(score: Score) -> Pace:
    bars = score.sheet.bars
    beat = bars[0].meter.beat if bars else Fraction(1)
    per_minute = DEFAULT_BEATS / sqrt(beat)
    mark = Fraction(max(1, round(min(per_minute, quickest(score.sheet, QUICKEST) / beat))))
    return Pace(((Fraction(0), mark * beat),), _said("default", beat, mark))
