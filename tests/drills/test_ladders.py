"""Ladders stay on the metronome, in a beat that can be counted, and say when they cannot.

The metronome's marks, 40 to 208: dictionaries of music, s.v. "metronome".
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.errors import EngraveError
from engrave.music.sheet import Meter
from engrave.music.tempo import (
    COMPOUND,
    HIGHEST,
    LOWEST,
    SCALE,
    SIMPLE,
    UNITS,
    Goal,
    ladder,
    nearest_mark,
)

BEATS = st.sampled_from((*UNITS, Fraction(1, 8), Fraction(3, 16), Fraction(6), Fraction(7, 4)))
MARKS = st.fractions(10, 600, max_denominator=3)


@given(BEATS, MARKS, st.none() | MARKS, st.integers(1, 10), st.none() | MARKS, st.booleans())
def test_every_mark_is_on_the_metronome_in_a_unit_that_is_counted(
    beat: Fraction,
    goal: Fraction,
    start: Fraction | None,
    step: int,
    reached: Fraction | None,
    compound: bool,
) -> None:
    """Eighths, quarters, halves, or in compound time dotted ones (and the eighth)."""
    meter = Meter(6, 8) if compound else Meter(2, 4)
    units = COMPOUND if compound else SIMPLE
    wanted = Goal(beat, goal, start, step, reached)
    if not any(LOWEST <= goal * beat / unit <= HIGHEST for unit in units):
        with pytest.raises(EngraveError):
            ladder(wanted, meter)
        return
    made = ladder(wanted, meter)
    assert made.beat_unit in units
    assert LOWEST <= made.marks[0] <= made.marks[-1] <= HIGHEST
    assert list(made.marks) == sorted(set(made.marks))
    assert abs(made.marks[-1] * made.beat_unit - goal * beat) <= made.beat_unit / 2


@pytest.mark.parametrize(
    ("beat", "goal", "unit", "marks"),
    [
        (Fraction(1), 120, Fraction(1), (60, 120)),  # half the goal, and the goal
        (Fraction(1), 60, Fraction(1, 2), (60, 120)),  # 30 is on no metronome
        (Fraction(1, 4), 240, Fraction(1, 2), (60, 120)),  # nor is 240
        (Fraction(1, 8), 160, Fraction(1, 2), (40, 40)),  # nobody counts sixteenths
        (Fraction(3, 2), 60, Fraction(1, 2), (88, 180)),  # compound: to the eighth
        (Fraction(1, 2), 240, Fraction(1), (60, 120)),  # and in simple time to the double
    ],
)
def test_another_beat_is_counted_where_it_must(
    beat: Fraction, goal: int, unit: Fraction, marks: tuple[int, int]
) -> None:
    made = ladder(Goal(beat, Fraction(goal)))
    assert (made.beat_unit, made.marks[0], made.marks[-1]) == (unit, *marks)
    assert (made.moved is not None) is (unit != beat)


def test_a_beat_that_the_teacher_writes_stands() -> None:
    made = ladder(Goal(Fraction(3, 4), Fraction(120), written=True), Meter(2, 4))
    assert (made.beat_unit, made.marks[-1]) == (Fraction(3, 4), 120)
    dotted = ladder(Goal(Fraction(3, 4), Fraction(120)), Meter(2, 4))
    assert dotted.beat_unit in SIMPLE


@given(st.fractions(80, 208, max_denominator=7))
def test_a_derived_goal_is_on_the_scale_and_within_three_percent(goal: Fraction) -> None:
    made = ladder(Goal(Fraction(1), goal), Meter(2, 4), derived=True)
    assert made.marks[-1] in SCALE
    assert abs(made.marks[-1] - goal) <= goal * Fraction(3, 100)


def test_of_two_marks_as_near_the_lower() -> None:
    assert nearest_mark(Fraction(98)) == 96
    assert nearest_mark(Fraction(123)) == 120


@pytest.mark.parametrize(
    ("beat", "goal", "pace"), [(Fraction(1, 4), 10, "slow"), (Fraction(3, 2), 600, "fast")]
)
def test_a_goal_that_no_beat_brings_onto_the_metronome(
    beat: Fraction, goal: int, pace: str
) -> None:
    with pytest.raises(EngraveError, match=f"too {pace} for a metronome"):
        ladder(Goal(beat, Fraction(goal)))
