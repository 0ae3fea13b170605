"""Ladders stay on the metronome, in a beat that can be counted, and say when they cannot.

The metronome's marks, 40 to 208: dictionaries of music, s.v. "metronome".
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.errors import EngraveError
from engrave.music.tempo import HIGHEST, LOWEST, UNITS, Goal, ladder

BEATS = st.sampled_from((*UNITS, Fraction(1, 8), Fraction(3, 16), Fraction(6), Fraction(7, 4)))
MARKS = st.fractions(10, 600, max_denominator=3)


@given(BEATS, MARKS, st.none() | MARKS, st.integers(1, 10), st.none() | MARKS)
def test_every_mark_is_on_the_metronome(
    beat: Fraction, goal: Fraction, start: Fraction | None, step: int, reached: Fraction | None
) -> None:
    wanted = Goal(beat, goal, start, step, reached)
    same_kind = (unit for unit in UNITS if (unit.numerator == 3) is (beat.numerator == 3))
    if not any(LOWEST <= goal * beat / unit <= HIGHEST for unit in same_kind):
        with pytest.raises(EngraveError):
            ladder(wanted)
        return
    made = ladder(wanted)
    assert made.beat_unit in UNITS
    assert LOWEST <= made.marks[0] <= made.marks[-1] <= HIGHEST
    assert list(made.marks) == sorted(set(made.marks))
    assert abs(made.marks[-1] * made.beat_unit - goal * beat) <= made.beat_unit / 2


@pytest.mark.parametrize(
    ("beat", "goal", "unit", "marks"),
    [
        (Fraction(1), 120, Fraction(1), (60, 120)),  # half the goal, and the goal
        (Fraction(1), 60, Fraction(1, 2), (60, 120)),  # 30 is on no metronome
        (Fraction(1, 4), 240, Fraction(1, 2), (60, 120)),  # nor is 240
        (Fraction(1, 8), 160, Fraction(1, 4), (40, 80)),  # a 32nd is no beat
        (Fraction(3, 2), 60, Fraction(3, 4), (60, 120)),  # dotted beats stay dotted
    ],
)
def test_another_beat_is_counted_where_it_must(
    beat: Fraction, goal: int, unit: Fraction, marks: tuple[int, int]
) -> None:
    made = ladder(Goal(beat, Fraction(goal)))
    assert (made.beat_unit, made.marks[0], made.marks[-1]) == (unit, *marks)
    assert (made.moved is not None) is (unit != beat)


@pytest.mark.parametrize(
    ("beat", "goal", "pace"), [(Fraction(1, 4), 10, "slow"), (Fraction(3, 2), 600, "fast")]
)
def test_a_goal_that_no_beat_brings_onto_the_metronome(
    beat: Fraction, goal: int, pace: str
) -> None:
    with pytest.raises(EngraveError, match=f"too {pace} for a metronome"):
        ladder(Goal(beat, Fraction(goal)))
