"""What each step of a line is named as: the steps by number, and whose turn it is. No source."""

from fractions import Fraction

import pytest

from engrave.fingering.line import steps_of
from engrave.fingering.step import Step
from engrave.music.notes import Hand
from tests.hand.lines import line


def steps(text: str, length: str = "1/4", tempo: int = 100) -> tuple[Step, ...]:
    return steps_of(line(text, length=length), Hand.RIGHT, Fraction(tempo), 205.0)


def named(text: str, name: str, length: str = "1/4", tempo: int = 100) -> list[int]:
    """The numbers of the steps that are named so."""
    return [n for n, step in enumerate(steps(text, length, tempo)) if getattr(step, name)]


@pytest.mark.parametrize(
    ("text", "length", "tempo", "due"),
    [
        # Sixteenths at 58 a quarter last 0.259 s, at 57 0.263 s: in turn, and by one finger.
        ("C4 C4 C4 C4", "1/4", 58, [4, 3, 2, 1]),
        ("C4 C4 C4 C4", "1/4", 57, [0, 0, 0, 0]),
        ("C4 C4", "1/4", 100, [None, None]),
        ("C4 C4 C4", "1/4", 100, [3, 2, 1]),  # threes come out even
        ("C4 C4 C4 C4 C4", "1/4", 100, [4, 3, 2, 1, 4]),
        ("C4 C4 C4 C4 C4 C4", "1/4", 100, [3, 2, 1, 3, 2, 1]),
        (". C4 C4 C4 C4", "1/4", 100, [3, 2, 1, 4]),  # counted from the beat
        (". . . . . C4 C4 C4 C4", "1/4", 100, [3, 2, 1, 4]),
        ("E4 . . F4 C4 C4 C4 C4", "1/4", 100, [None, None, 4, 3, 2, 1]),  # however it is come to
        ("E4 F4 . . C4 C4 C4 C4", "1/4", 100, [None, None, 4, 3, 2, 1]),
        ("E4 . . . F4 . . . C4 C4 C4 C4", "1/4", 100, [None, None, 4, 3, 2, 1]),
        ("C4 C4 C4 C4", "1/6", 100, [3, 2, 1, 3]),  # triplets
        ("C4 C4 C4 D4", "1/4", 100, [3, 2, 1, None]),
        ("C4-E4 C4-E4 C4-E4", "1/4", 100, [None, None, None]),
    ],
)
def test_whose_turn_it_is(text: str, length: str, tempo: int, due: list[int | None]) -> None:
    assert [step.due for step in steps(text, length, tempo)] == due


@pytest.mark.parametrize(
    ("text", "length", "paired", "due"),
    [
        ("C4 C4 D4 D4 E4 E4", "1/4", [0, 1, 2, 3, 4, 5], None),
        ("C4 C4 D4 D4 E4 E4", "1/2", [0, 1, 2, 3, 4, 5], 0),
        ("C4 C4 D4 D4 E4 D4", "1/2", [], None),  # two keys are no row
        ("B3 C4 C4 D4 D4 E4 E4 F4", "1/4", [1, 2, 3, 4, 5, 6], None),
        ("C4-E4 C4-E4 D4 D4 E4 E4", "1/4", [], None),
    ],
)
def test_rows_of_keys_struck_twice(
    text: str, length: str, paired: list[int], due: int | None
) -> None:
    assert named(text, "pair", length) == paired
    assert {step.due for step in steps(text, length) if step.pair} <= {due}


def test_a_row_of_pairs_begins_with_its_own_first_key() -> None:
    found = steps("B3 C4 C4 D4 D4 E4 E4 F4")
    assert [step.pair for step in found] == [0, 1, 1, 2, 2, 2, 2, 0]


@pytest.mark.parametrize(
    ("text", "trilled"),
    [
        ("C4 D4 C4 D4 C4", []),
        ("C4 D4 C4 D4 C4 D4", [0, 1, 2, 3, 4, 5]),
        ("C4 E4 C4 E4 C4 E4", []),  # neighbours alone
        ("G4 C4 Db4 C4 Db4 C4 Db4 E4", [1, 2, 3, 4, 5, 6]),
    ],
)
def test_trills_of_six_strokes(text: str, trilled: list[int]) -> None:
    assert named(text, "trill") == trilled


@pytest.mark.parametrize(
    ("text", "thirds"),
    [
        ("C4 D4 E4 F4 E4", [2, 3]),
        ("E4 D4 C4", [2]),
        ("C4 D4 C4", []),
        ("C4 D4 F4", []),
        ("C4 D4-F4 E4", []),
    ],
)
def test_the_third_of_three_neighbours(text: str, thirds: list[int]) -> None:
    assert named(text, "row") == thirds


@pytest.mark.parametrize(
    ("text", "main", "rounded"),
    [
        ("E4 F4 E4 D4", [2], [3]),
        ("E4 D4 E4 F4", [2], [3]),
        ("E4 F4 E4 F4", [], []),
        ("E4 F4 E4 C4", [], []),  # not the neighbour on the other side
        ("E4 F4 D4 E4", [], []),
        ("C4 E4 F4 E4 D4", [3], [4]),
        ("D4 E4 F4 E4 D4", [], []),  # a run that comes and goes back
        ("F4 E4 F4 E4 D4", [3], [4]),
        ("E4 F4 E4 D4 C4", [], []),  # a run begins with it
        ("E4 F4 E4 D4 E4", [2], [3]),
        ("C4 C4 C4 C4", [], []),
    ],
)
def test_turns(text: str, main: list[int], rounded: list[int]) -> None:
    assert (named(text, "main"), named(text, "rounded")) == (main, rounded)


def test_a_turn_is_even() -> None:
    assert named("E4 F4 . E4 D4", "main") == named("E4 F4 E4 . D4", "main") == []
    assert named("E4 . F4 E4 D4", "main") == []
    assert named("E4 F4 E4 D4 . E4", "main") == [2]  # what follows may wait


@pytest.mark.parametrize(
    ("text", "outer"),
    [
        ("C5 E4-A4", [0]),  # three semitones further out, within the hand
        ("B4 E4-A4", []),
        ("F6 E4-A4", []),  # beyond it
        ("C5 A4", []),
        ("C5-E5 E4-A4", []),
        ("E4-A4 C5", []),
        ("C4 D4 C5 E4-A4", [2]),  # wherever in the line
        ("C5 C4-E4-A4", [0]),  # all of the chord further in
        ("C5 C4-E4-B4", []),
    ],
)
def test_keys_from_which_the_hand_closes_in_on_a_chord(text: str, outer: list[int]) -> None:
    assert named(text, "outer", "1") == outer
