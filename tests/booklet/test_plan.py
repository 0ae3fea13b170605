"""The plan adds up, spreads the passages, rests when it should, and ends before the performance."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.booklet.plan import LAST_DAYS, LONGEST_SITTING, WEEKDAYS, WHOLE, Plan, plan
from engrave.errors import EngraveError

PERFORMANCE = date(2027, 3, 14)

plans = st.builds(
    plan,
    st.integers(0, 24).map(lambda n: [str(k + 1) for k in range(n)]),
    st.just(PERFORMANCE),
    st.integers(1, 240),
    st.none() | st.integers(1, 200).map(lambda n: PERFORMANCE - timedelta(days=n)),
    st.sets(st.sampled_from(WEEKDAYS), max_size=6),
)


def practised(made: Plan) -> list:
    return [day for day in made.days if day.sittings]


@given(plans)
def test_days_follow_each_other_up_to_the_eve(made: Plan) -> None:
    assert all(b.date - a.date == timedelta(days=1) for a, b in pairwise(made.days))
    assert made.days[-1].date == PERFORMANCE - timedelta(days=1)
    assert [day.days_left for day in made.days] == list(range(len(made.days), 0, -1))


@given(st.integers(1, 240), st.integers(0, 24), st.sets(st.sampled_from(WEEKDAYS), max_size=6))
def test_every_day_adds_up_to_the_minutes_given(minutes: int, count: int, rest: set[str]) -> None:
    made = plan([str(n) for n in range(count)], PERFORMANCE, minutes, rest_days=rest)
    for day in made.days:
        resting = WEEKDAYS[day.date.weekday()] in rest
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
    made = plan(names, PERFORMANCE, minutes)
    early = practised(made)[:-LAST_DAYS]
    dealt = [b.passage for day in early for sitting in day.sittings for b in sitting]
    counts = [dealt.count(name) for name in names]
    assert max(counts) - min(counts) <= len(early)
    if len(dealt) >= count:
        assert min(counts) > 0
    for day in early:
        found = [b.passage for sitting in day.sittings for b in sitting]
        assert all(a != b for a, b in pairwise(found))


@given(plans)
def test_the_last_days_begin_with_the_whole_piece(made: Plan) -> None:
    for day in practised(made)[-LAST_DAYS:]:
        assert day.top is WHOLE
        whole = sum(b.minutes for s in day.sittings for b in s if b.passage is WHOLE)
        assert 3 * whole >= 2 * day.minutes


@pytest.mark.parametrize("begin", [PERFORMANCE, PERFORMANCE + timedelta(days=9)])
def test_a_performance_that_is_past_is_an_error(begin: date) -> None:
    with pytest.raises(EngraveError, match="not after") as caught:
        plan(["1"], PERFORMANCE, 30, begin)
    assert caught.value.hint


def test_a_performance_tomorrow_is_one_day_of_the_whole_piece() -> None:
    made = plan(["1", "2"], PERFORMANCE, 30, PERFORMANCE - timedelta(days=1))
    assert len(made.days) == 1
    assert made.days[0].minutes == 30
    assert made.days[0].top is WHOLE


def test_it_begins_on_the_day_that_is_stated() -> None:
    begin = PERFORMANCE - timedelta(days=70)
    assert plan(["1"], PERFORMANCE, 30, begin).days[0].date == begin


def test_it_never_asks_what_day_it_is() -> None:
    assert plan(["1"], PERFORMANCE, 30).days[0].date == PERFORMANCE - timedelta(days=28)


def test_no_minutes_are_no_practice() -> None:
    with pytest.raises(EngraveError, match="0 minutes"):
        plan(["1"], PERFORMANCE, 0)
