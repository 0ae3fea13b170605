"""The plan adds up, spreads the passages, rests when it should, and ends before the performance."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.booklet.need import Due, PassageNeed
from engrave.booklet.plan import LAST_DAYS, LONGEST_SITTING, WHOLE, Day, Plan, plan
from engrave.errors import EngraveError

PERFORMANCE = date(2027, 3, 14)

plans = st.builds(
    plan,
    st.lists(st.sampled_from(Due), max_size=24).map(
        lambda needs: [
            PassageNeed(str(k + 1), (f"{k}.1", f"{k}.2"), need) for k, need in enumerate(needs)
        ]
    ),
    st.just(PERFORMANCE),
    st.integers(1, 240),
    st.none() | st.integers(1, 200).map(lambda n: PERFORMANCE - timedelta(days=n)),
    st.sets(st.integers(0, 6), max_size=6),
)


def items(count: int, need: Due = Due.STEADY) -> list[PassageNeed]:
    return [PassageNeed(str(n), (f"{n}.1", f"{n}.2", f"{n}.3"), need) for n in range(count)]


def practised(made: Plan) -> list[Day]:
    return [day for day in made.days if day.sittings]


@given(plans)
def test_days_follow_each_other_up_to_the_eve(made: Plan) -> None:
    assert all(b.date - a.date == timedelta(days=1) for a, b in pairwise(made.days))
    assert made.days[-1].date == PERFORMANCE - timedelta(days=1)
    assert [day.days_left for day in made.days] == list(range(len(made.days), 0, -1))


@given(st.integers(1, 240), st.integers(0, 24), st.sets(st.integers(0, 6), max_size=6))
def test_every_day_adds_up_to_the_minutes_given(minutes: int, count: int, rest: set[int]) -> None:
    made = plan(items(count), PERFORMANCE, minutes, rest_days=rest)
    for day in made.days:
        resting = day.date.weekday() in rest
        assert day.minutes == (0 if resting else minutes)
        assert all(block.minutes > 0 for sitting in day.sittings for block in sitting)
        for sitting in day.sittings:
            assert sum(block.minutes for block in sitting) <= LONGEST_SITTING


@given(plans)
def test_no_passage_stands_first_on_two_days_running(made: Plan) -> None:
    for before, after in pairwise(practised(made)):
        assert before.top is WHOLE or before.top != after.top


@given(st.integers(2, 24), st.integers(1, 240))
def test_passages_are_spread_evenly(count: int, minutes: int) -> None:
    names = [str(n) for n in range(count)]
    made = plan(items(count), PERFORMANCE, minutes)
    early = practised(made)[:-LAST_DAYS]
    dealt = [b.passage for day in early for sitting in day.sittings for b in sitting]
    counts = [dealt.count(name) for name in names]
    assert max(counts) - min(counts) <= len(early)
    if len(dealt) >= count:
        assert min(counts) > 0
    for day in early:
        found = [b.passage for sitting in day.sittings for b in sitting]
        assert all(a != b or a is WHOLE for a, b in pairwise(found))


@given(st.sampled_from([Due.OFTEN, Due.STEADY, Due.WELL]), st.integers(30, 240))
def test_a_passage_alone_is_practised_every_day_and_first_every_other(
    need: Due, minutes: int
) -> None:
    early = practised(plan(items(1, need), PERFORMANCE, minutes))[:-LAST_DAYS]
    firsts = [day.sittings[0][0].passage for day in early]
    assert firsts == ["0" if number % 2 == 0 else WHOLE for number in range(len(firsts))]
    assert all("0" in [b.passage for s in day.sittings for b in s] for day in early)


@given(plans)
def test_the_last_days_begin_with_the_whole_piece(made: Plan) -> None:
    for day in practised(made)[-LAST_DAYS:]:
        assert day.top is WHOLE
        whole = sum(b.minutes for s in day.sittings for b in s if b.passage is WHOLE)
        assert 3 * whole >= 2 * day.minutes


@pytest.mark.parametrize("begin", [PERFORMANCE, PERFORMANCE + timedelta(days=9)])
def test_a_performance_that_is_past_is_an_error(begin: date) -> None:
    with pytest.raises(EngraveError, match="not after") as caught:
        plan(items(1), PERFORMANCE, 30, begin)
    assert caught.value.hint


def test_a_performance_tomorrow_is_one_day_of_the_whole_piece() -> None:
    made = plan(items(2), PERFORMANCE, 30, PERFORMANCE - timedelta(days=1))
    assert len(made.days) == 1
    assert made.days[0].minutes == 30
    assert made.days[0].top is WHOLE


def test_it_begins_on_the_day_that_is_stated() -> None:
    begin = PERFORMANCE - timedelta(days=70)
    assert plan(items(1), PERFORMANCE, 30, begin).days[0].date == begin


def test_it_never_asks_what_day_it_is() -> None:
    assert plan(items(1), PERFORMANCE, 30).days[0].date == PERFORMANCE - timedelta(days=28)


def test_no_minutes_are_no_practice() -> None:
    with pytest.raises(EngraveError, match="0 minutes"):
        plan(items(1), PERFORMANCE, 0)


def days_of(made: Plan, name: str) -> list[int]:
    """On which days of practice, counted from 0, a passage comes."""
    return [
        number
        for number, day in enumerate(practised(made))
        if any(block.passage == name for sitting in day.sittings for block in sitting)
    ]


def test_what_is_stuck_comes_most_often_and_what_goes_well_after_longer_and_longer_gaps() -> None:
    mixed = [PassageNeed("s", ("s.1",), Due.OFTEN), *items(4), PassageNeed("w", ("w.1",), Due.WELL)]
    made = plan(mixed, PERFORMANCE, 30, PERFORMANCE - timedelta(days=40))
    counts = {name: len(days_of(made, name)) for name in ("s", "0", "w")}
    assert counts["s"] > counts["0"] > counts["w"] > 2
    assert days_of(made, "s")[:6] == [0, 1, 2, 3, 4, 5]
    gaps = [b - a for a, b in pairwise(days_of(made, "w")[:4])]
    assert gaps == sorted(gaps)
    assert gaps[0] < gaps[-1]


@given(st.lists(st.sampled_from(Due), min_size=1, max_size=8), st.integers(20, 120),
       st.integers(24, 120))  # fmt: skip
def test_everything_that_is_due_comes(needs: list[Due], minutes: int, days: int) -> None:
    made = plan(
        [PassageNeed(str(n), (f"{n}.1",), need) for n, need in enumerate(needs)],
        PERFORMANCE,
        minutes,
        PERFORMANCE - timedelta(days=days),
    )
    for number, need in enumerate(needs):
        found = days_of(made, str(number))
        assert found
        if need is Due.DONE:
            assert len(found) == 1 or max(found) >= len(practised(made)) - LAST_DAYS
        if need is Due.OFTEN:
            assert found[0] <= len(needs)


def test_run_throughs_grow_towards_the_performance() -> None:
    made = plan(items(5), PERFORMANCE, 40, PERFORMANCE - timedelta(days=42))
    whole = [
        sum(b.minutes for s in day.sittings for b in s if b.passage is WHOLE)
        for day in practised(made)
    ]
    weeks = [sum(whole[n : n + 7]) for n in range(0, 42, 7)]
    assert weeks[:3] == [0, 0, 0]
    assert weeks[3:] == sorted(weeks[3:])
    assert weeks[3] > 0


def test_drills_are_named_and_take_turns() -> None:
    made = plan(items(2), PERFORMANCE, 30)
    named = [
        b.drills
        for day in practised(made)[:-LAST_DAYS]
        for s in day.sittings
        for b in s
        if b.passage
    ]
    assert all(len(drills) == 2 for drills in named)
    assert {drill for drills in named for drill in drills} == {
        f"{n}.{k}" for n in range(2) for k in (1, 2, 3)
    }


# What follows is written out, day by day, from the rules at the head of the plan's module: their
# gaps, shares and lengths are common practice, no source, and stand here in figures.
def told(day: Day) -> str:
    """A day's sittings: ``new 8, whole 8; 2 7``."""
    sittings = (
        ", ".join(f"{block.passage or 'whole'} {block.minutes}" for block in sitting)
        for sitting in day.sittings
    )
    return "; ".join(sittings)


def before(days: int) -> date:
    return PERFORMANCE - timedelta(days=days)


def test_a_month_of_mixed_needs() -> None:
    """Two blocks a day. New: six days running, then every other day; well: on the second day at
    the earliest, then after 2, 4 and 8 days or more; done: once, five days of practice before the
    last three; the whole piece in more and more of the blocks."""
    steady = [PassageNeed(f"s{n}", (f"s{n}.1",), Due.STEADY) for n in (1, 2, 3, 4)]
    needs = [
        PassageNeed("new", ("n1",), Due.OFTEN),
        *steady,
        PassageNeed("well", ("w1",), Due.WELL),
    ]
    made = plan([*needs, PassageNeed("done", ("d1",), Due.DONE)], PERFORMANCE, 16, before(26))
    assert [told(day).replace(" 8", "") for day in made.days] == [
        "new, s1", "s2, new", "s3, new", "s4, new", "well, new", "s1, new", "s2, s3",
        "s4, well", "new, s1", "s3, s2", "new, s4", "s1, whole", "s2, s3", "well, whole",
        "s4, new", "s1, whole", "s3, s2", "new, whole", "s4, whole", "s1, s2", "s3, whole",
        "done, whole", "new, whole",
        "whole 11, s4 5", "whole 11, s1 5", "whole 16",
    ]  # fmt: skip


def test_what_is_new_leaves_a_block_to_the_others() -> None:
    """Three new ones in two blocks take turns in the first; the longest due has the other."""
    new = [PassageNeed(f"n{n}", need=Due.OFTEN) for n in (1, 2, 3)]
    made = plan([*new, *items(2)], PERFORMANCE, 16, before(40))
    assert [told(day).replace(" 8", "") for day in made.days[:8]] == [
        "n1, n2", "n3, 0", "1, n1", "n2, n3", "0, n1", "n2, n3", "n1, 1", "n3, n2",
    ]  # fmt: skip


def test_the_last_fortnight_at_forty_minutes() -> None:
    made = plan(items(5), PERFORMANCE, 40, before(24))
    whole = [
        sum(b.minutes for sitting in day.sittings for b in sitting if b.passage is WHOLE)
        for day in made.days
    ]
    assert whole == [
        0, 0, 0, 0, 0, 0, 0, 10, 0, 10, 10, 10, 10, 10, 10, 10, 20, 10, 20, 20, 20, 28, 28, 40,
    ]  # fmt: skip
    assert [told(day) for day in made.days[-4:]] == [
        "4 10, 2 10; whole 20",
        "whole 14, 3 6; whole 14, 0 6",
        "whole 14, 1 6; whole 14, 2 6",
        "whole 20; whole 20",
    ]


@pytest.mark.parametrize(
    ("minutes", "first", "third_last"),
    [
        (1, "0 1", "whole 1"),
        (8, "0 8", "whole 8"),
        (9, "0 9", "whole 9"),  # under ten minutes there is no room beside the whole piece
        (10, "0 10", "whole 7, 2 3"),
        (11, "0 11", "whole 8, 2 3"),
        (12, "0 6, 1 6", "whole 8, 0 4"),
        (20, "0 10, 1 10", "whole 14, 0 6"),
        (21, "0 11; 1 10", "whole 8, 1 3; whole 7, 0 3"),
        (41, "0 7, 1 7; 2 7, 0 7; whole 13", "whole 10, 2 4; whole 10, 0 4; whole 9, 1 4"),
    ],
)
def test_sittings_of_at_most_twenty_minutes_in_blocks_of_about_eight(
    minutes: int, first: str, third_last: str
) -> None:
    made = plan(items(3), PERFORMANCE, minutes, before(5))
    assert (told(made.days[0]), told(made.days[2])) == (first, third_last)


def test_one_block_a_day_goes_round() -> None:
    assert [told(day) for day in plan(items(2), PERFORMANCE, 8, before(7)).days] == [
        "0 8", "1 8", "0 8", "1 8", "whole 8", "whole 8", "whole 8",
    ]  # fmt: skip
    stuck = [PassageNeed("stuck", ("s",), Due.OFTEN), *items(2)]
    made = plan(stuck, PERFORMANCE, 8, before(20))
    assert [told(day).removesuffix(" 8") for day in made.days[:-3]] == [
        "stuck", "0", "1", "stuck", "0", "stuck", "1", "stuck", "0", "stuck", "1", "stuck", "0",
        "1", "stuck", "0", "1",
    ]  # fmt: skip


def test_a_passage_alone_has_the_whole_piece_between() -> None:
    assert [told(day) for day in plan(items(1), PERFORMANCE, 20, before(6)).days] == [
        "0 10, whole 10", "whole 20", "0 10, whole 10",
        "whole 14, 0 6", "whole 14, 0 6", "whole 20",
    ]  # fmt: skip


def test_without_a_beginning_it_is_four_weeks() -> None:
    made = plan(items(2), PERFORMANCE, 30, rest_days=[6])
    assert made.days[0].date == date(2027, 2, 14)
    assert [day.date.day for day in made.days if not day.sittings] == [14, 21, 28, 7]


def test_four_minutes_a_drill_in_turn() -> None:
    made = plan(items(1), PERFORMANCE, 20, before(6))
    (day, _, third, *_, second_last, _) = made.days
    assert day.sittings[0][0].drills == ("0.1", "0.2")
    assert third.sittings[0][0].drills == ("0.3", "0.1")
    assert second_last.sittings[0][1].drills == ("0.1", "0.2")


def test_what_goes_well_comes_after_two_four_eight_and_sixteen_days() -> None:
    mixed = [PassageNeed("s", ("s.1",), Due.OFTEN), *items(4), PassageNeed("w", ("w.1",), Due.WELL)]
    made = plan(mixed, PERFORMANCE, 30, before(90))
    assert days_of(made, "w") == [1, 3, 7, 15, 31, 47, 63, 79]


def test_what_is_done_comes_at_once_where_few_days_are_left() -> None:
    done, steady = PassageNeed("d", need=Due.DONE), PassageNeed("s")
    for days in (7, 8):
        assert plan([steady, done], PERFORMANCE, 16, before(days)).days[0].top == "s"
        assert days_of(plan([steady, done], PERFORMANCE, 16, before(days)), "d")[0] == 0
    assert days_of(plan([steady, done], PERFORMANCE, 16, before(9)), "d")[0] == 1


def test_a_block_of_five_minutes_is_one_drills() -> None:
    assert plan(items(1), PERFORMANCE, 5, before(6)).days[0].sittings[0][0].drills == ("0.1",)
    assert plan(items(1), PERFORMANCE, 7, before(6)).days[0].sittings[0][0].drills == (
        "0.1", "0.2",
    )  # fmt: skip


def test_what_is_done_comes_once_though_a_day_has_one_block() -> None:
    """Six days of practice before the last three, or the next day, never two blocks of one."""
    done = PassageNeed("d", ("d.1",), Due.DONE)
    new, other = PassageNeed("a", ("a.1",), Due.OFTEN), PassageNeed("b", ("b.1",), Due.OFTEN)
    steady = PassageNeed("b", ("b.1",), Due.STEADY)
    one = plan([new, steady, done], PERFORMANCE, 8, before(14))
    assert "".join(day.top or "-" for day in one.days) == "abababadaba---"
    again = PassageNeed("e", ("e.1",), Due.DONE)
    well = PassageNeed("w", ("w.1",), Due.WELL)
    both = plan([done, again, well, new], PERFORMANCE, 8, before(13))
    assert "".join(day.top or "-" for day in both.days) == "awawadaeaw---"
    two = plan([new, other, done], PERFORMANCE, 8, before(13))
    assert "".join(day.top or "-" for day in two.days) == "abababadba---"
