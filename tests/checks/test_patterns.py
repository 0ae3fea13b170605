"""The rhythm check against examples worked out by hand, and their ruins."""

from fractions import Fraction

import pytest

from tests.checks.rhythms import against_pattern


def gaps(text: str) -> list[Fraction]:
    return [Fraction(word) for word in text.split()]


@pytest.mark.parametrize(
    ("variant", "text", "place"),
    [
        ("long-short", "3/4 1/4 3/4 1/4 3/4 1/4 3/4 1/4", 0),
        ("short-short-long", "1/4 1/4 1/2 1/4 1/4 1/2 1/4 1/4", 0),
        ("in-threes", "1/3 1/3 1/3 1/3 1/3 1/3 1/2 1/2", 0),
        ("in-fours-1", "3/4 1/4 1/4 1/4 3/4 3/4", 0),
        ("long-short", "1/4 3/4 1/4 3/4 1/4", 3),
        ("custom-3-1-2", "3/4 1/4 1/2 3/4 1/4 1/2", 0),
    ],
)
def test_what_was_worked_out_by_hand_fits(variant: str, text: str, place: int) -> None:
    assert against_pattern(gaps(text), variant, place) is None


@pytest.mark.parametrize(
    ("variant", "text", "place"),
    [
        ("long-short", "1/4 3/4 1/4 3/4", 0),  # the opposite pattern
        ("long-short", "1/2 1/2 1/2 1/2", 0),  # even
        ("long-short", "3/4 1/4 3/4 1/4", 1),  # the wrong phase
        ("long-short", "3/4 1/4 3/4", 0),  # a landing in a short place
        ("in-threes", "1/3 1/3 1/3 1/3", 0),  # left over, and not evened out
        ("in-threes", "1/3 1/3 1/3 1/4 1/4", 0),  # left over, filling half a beat
        ("in-threes", "1/3 1/3 1/2 1/2 1/3 1/3 1/3", 0),  # evened out in the middle
        ("in-fours-1", "3/4 1/4 1/4 1/4 1/2 1/2", 0),  # left over, filling two thirds of a beat
    ],
)
def test_what_it_does_not_write_does_not_fit(variant: str, text: str, place: int) -> None:
    assert against_pattern(gaps(text), variant, place) is not None


def test_a_landing_that_begins_the_next_run_is_held_first() -> None:
    held = gaps("11/4 1/4 3/4 1/4")
    assert against_pattern(held, "long-short", 0, landed=True) is None
    assert against_pattern(held, "long-short", 0, landed=False) is not None
