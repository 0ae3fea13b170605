"""Lines are full without being squeezed, and keep the breaks that are written."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from engrave.engraver.breaks import Widths, choose_breaks

widths = st.lists(st.floats(10, 60), min_size=1, max_size=24)


def lines(bars: list[float], forced: frozenset[int], width: float = 100) -> list[list[float]]:
    breaks = choose_breaks(Widths(tuple(bars), 5), forced, width)
    return [bars[start:end] for start, end in pairwise((0, *breaks, len(bars)))]


def test_one_line_where_one_is_enough() -> None:
    assert len(lines([30, 30, 30], frozenset())) == 1
    assert len(lines([30, 30, 30, 30], frozenset())) == 2


def test_no_lone_bar_at_the_end() -> None:
    assert [len(line) for line in lines([19] * 6, frozenset())] == [4, 2]
    assert [len(line) for line in lines([15.8] * 7, frozenset())] == [5, 2]


def test_a_section_that_is_followed_by_another_is_divided_evenly() -> None:
    """Its last line is stretched as well: two bars of eight must not fill a line alone."""
    found = lines([15.0] * 8 + [9.0] * 2, frozenset({8}))
    assert [len(line) for line in found] == [4, 4, 2]


@given(widths, st.sets(st.integers(1, 23)))
def test_every_bar_once_and_no_line_too_full(bars: list[float], breaks: set[int]) -> None:
    forced = frozenset(index for index in breaks if index < len(bars))
    found = lines(bars, forced)
    assert [bar for line in found for bar in line] == bars
    for line in found:
        assert sum(line) + 5 <= 103 + 1e-9 or len(line) == 1
    starts = {0, *(sum(map(len, found[:n])) for n in range(1, len(found)))}
    assert forced <= starts
