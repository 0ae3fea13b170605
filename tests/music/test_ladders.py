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
    BEAT_UNITS,
    COMPOUND,
    HIGHEST,
    LOWEST,
    SCALE,
    SIMPLE,
    Goal,
    asked_beat,
    can_be_counted,
    ladder,
    nearest_mark,
    on_the_scale,
)

ODD = ("1/8", "3/16", "3/8", "6", "7/4")
BEATS = st.sampled_from((*BEAT_UNITS.values(), *map(Fraction, ODD)))
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
        (Fraction(2), 40, Fraction(1), (40, 80)),  # of simple units the half first
        (Fraction(3), 36, Fraction(3, 2), (40, 72)),  # nobody counts half a dotted quarter
    ],
)
def test_another_beat_is_counted_where_it_must(
    beat: Fraction, goal: int, unit: Fraction, marks: tuple[int, int]
) -> None:
    made = ladder(Goal(beat, Fraction(goal)))
    assert (made.beat_unit, made.marks[0], made.marks[-1]) == (unit, *marks)
    assert (made.moved is not None) is (unit != beat)


@pytest.mark.parametrize(
    ("meter", "asked", "goal", "unit", "last"),
    [
        (Meter(6, 8), 1, 150, Fraction(3, 2), 100),  # not dotted eighths, nearer as they are
        (Meter(9, 8), 1, 90, Fraction(1, 2), 180),  # 30 dotted quarters are on no metronome
        (Meter(6, 16), 1, 90, Fraction(3, 4), 120),
        (Meter(4, 4), Fraction(3, 2), 80, Fraction(1), 120),
    ],
)
def test_a_beat_that_nobody_counts_there_becomes_that_of_the_meter(
    meter: Meter, asked: Fraction, goal: int, unit: Fraction, last: int
) -> None:
    made = ladder(Goal(Fraction(asked), Fraction(goal)), meter)
    assert (made.beat_unit, made.marks[-1]) == (unit, last)


def test_why_another_beat_is_counted() -> None:
    """The meter's, though 75 to 150 quarters are on the metronome; 30 to 60 are not."""
    for meter, goal, key in ((Meter(6, 8), 150, "ladder.meter"), (Meter(4, 4), 60, "ladder.moved")):
        moved = ladder(Goal(Fraction(1), Fraction(goal)), meter).moved
        assert moved is not None
        assert moved.key == key


@pytest.mark.parametrize(
    ("meter", "asked", "goal", "unit", "last"),
    [
        (Meter(4, 4), "1", 96, "1", 96),
        (Meter(4, 4), "1", 240, "2", 120),
        (Meter(4, 4), "1", 30, "1/2", 60),
        (Meter(6, 8), "3/2", 60, "1/2", 180),  # from 30 on in dotted quarters
        (Meter(6, 8), "3/2", 96, "3/2", 96),
        (Meter(6, 8), "1/2", 240, "3/2", 80),
    ],
)
def test_the_unit_that_is_counted_and_the_one_that_was_asked_for(
    meter: Meter, asked: str, goal: int, unit: str, last: int
) -> None:
    """The half or the double; in compound time the eighth and the dotted quarter."""
    made = ladder(Goal(Fraction(asked), Fraction(goal)), meter)
    assert (made.beat_unit, made.marks[-1]) == (Fraction(unit), last)
    assert asked_beat(made) == Fraction(asked)


@pytest.mark.parametrize(
    ("meter", "beat", "counted"),
    [
        (Meter(4, 4), "1", True),
        (Meter(3, 4), "2", False),
        (Meter(3, 4), "3", True),
        (Meter(3, 8), "3", True),  # two measures
        (Meter(6, 8), "1", True),
        (Meter(5, 8), "1", False),
    ],
)
def test_whole_beats_fill_a_measure_or_whole_measures_a_beat(
    meter: Meter, beat: str, counted: bool
) -> None:
    assert can_be_counted(Fraction(beat), meter) is counted


def test_a_beat_that_the_teacher_writes_stands() -> None:
    made = ladder(Goal(Fraction(3, 4), Fraction(120), beat_stands=True), Meter(2, 4))
    assert (made.beat_unit, made.marks[-1]) == (Fraction(3, 4), 120)
    dotted = ladder(Goal(Fraction(3, 4), Fraction(120)), Meter(2, 4))
    assert dotted.beat_unit in SIMPLE


@pytest.mark.parametrize(
    ("beat", "goal", "meter", "unit", "top"),
    [
        ("1/2", 240, Meter(6, 8), "3/2", 80),
        ("3/2", 72, Meter(2, 4), "1", 108),
        ("1/4", 320, Meter(2, 4), "1/2", 160),
    ],
)
def test_a_beat_that_cannot_stand_becomes_its_nearest(
    beat: str, goal: int, meter: Meter, unit: str, top: int
) -> None:
    """Too fast for a metronome, or begun too slow: the half or the double, eighths in threes."""
    made = ladder(Goal(Fraction(beat), Fraction(goal), beat_stands=True), meter)
    assert (made.beat_unit, made.marks[-1]) == (Fraction(unit), top)


@given(st.fractions(80, 208, max_denominator=7))
def test_a_derived_goal_is_on_the_scale_and_within_three_percent(goal: Fraction) -> None:
    made = ladder(Goal(Fraction(1), goal), Meter(2, 4), derived=True)
    assert made.marks[-1] in SCALE
    assert abs(made.marks[-1] - goal) <= goal * Fraction(3, 100)


def test_the_traditional_scale_is_all_there() -> None:
    """By 2, 3, 4, 6 and 8, 39 marks (dictionaries of music, s.v. "metronome")."""
    assert SCALE == (
        40, 42, 44, 46, 48, 50, 52, 54, 56, 58,
        60, 63, 66, 69,
        72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 112, 116,
        120, 126, 132, 138,
        144, 152, 160, 168, 176, 184, 192, 200, 208,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("goal", "marks"),
    [
        (120, (60, 66, 72, 80, 88, 96, 104, 112, 120)),
        (132, (66, 72, 80, 88, 96, 104, 112, 120, 132)),
        (126, (63, 69, 76, 84, 92, 100, 108, 116, 126)),
        (100, (50, 54, 58, 63, 69, 76, 84, 92, 100)),
        (208, (104, 112, 120, 132, 144, 160, 176, 192, 208)),
        (90, (44, 48, 52, 56, 60, 66, 72, 80, 88, 90)),  # the goal last, whatever the remainder
    ],
)
def test_from_half_the_goal_two_marks_at_a_time(goal: int, marks: tuple[int, ...]) -> None:
    """Start slow, raise by two marks (common practice, no source), counted off on the scale."""
    assert ladder(Goal(Fraction(1), Fraction(goal)), Meter(2, 4)).marks == marks


@pytest.mark.parametrize(
    ("step", "marks"),
    [
        (1, (96, 100, 104, 108, 112, 116, 120)),
        (2, (96, 104, 112, 120)),
        (3, (96, 108, 120)),
        (4, (96, 112, 120)),
        (9, (96, 120)),
    ],
)
def test_so_many_marks_at_a_time(step: int, marks: tuple[int, ...]) -> None:
    goal = Goal(Fraction(1), Fraction(120), start=Fraction(96), step=step)
    assert ladder(goal, Meter(2, 4)).marks == marks


@pytest.mark.parametrize(
    ("reached", "ticked"), [(59, None), (60, 60), (65, 60), (66, 66), (119, 112), (150, 120)]
)
def test_what_was_reached_ticks_the_last_box_that_it_passed(
    reached: int, ticked: int | None
) -> None:
    goal = Goal(Fraction(1), Fraction(120), reached=Fraction(reached))
    assert ladder(goal, Meter(2, 4)).reached == ticked


@pytest.mark.parametrize(
    ("beat", "goal", "quarters"),
    [("dotted-quarter", 60, 90), ("eighth", 120, 60), ("half", 60, 120), ("whole", 40, 160),
     ("dotted-half", 60, 180), ("quarter", 72, 72), ("dotted-eighth", 80, 60), ("16th", 160, 40)],
)  # fmt: skip
def test_quarters_a_minute(beat: str, goal: int, quarters: int) -> None:
    """MusicXML 4.0 (W3C Community Group report, 2021): ``sound/@tempo`` is quarters a minute."""
    assert Goal(BEAT_UNITS[beat], Fraction(goal)).quarters_per_minute == quarters


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


def test_what_words_stand_for_goes_by_the_metronome() -> None:
    """Allegro ma non troppo, between 134 and 104, is 120; beyond the scale nothing is moved."""
    marks = [on_the_scale(Fraction(mark)) for mark in (119, 134, 141, 161, 54, 230, 30)]
    assert marks == [120, 132, 138, 160, 54, 230, 30]
