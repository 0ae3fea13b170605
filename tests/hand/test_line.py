"""What a hand's onsets are as steps: what is held beside them, let go, joined, and how quick."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.fingering.line import steps_of
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from tests.hand.lines import keys_line

C3, C4, E4, G4, E5, F5 = 48, 60, 64, 67, 76, 77


def lasting(onsets: tuple[Onset, ...], lengths: str) -> tuple[Onset, ...]:
    """The onsets, their tones so long, in quarters."""
    return tuple(
        replace(onset, tones=tuple(replace(tone, length=Fraction(each)) for tone in onset.tones))
        for onset, each in zip(onsets, lengths.split(), strict=True)
    )


def held(keys: list[int], lengths: str) -> list[tuple[int, ...]]:
    line = lasting(keys_line(keys, length="1"), lengths)
    return [step.held for step in steps_of(line, Hand.RIGHT, 60, 205.0)]


def test_a_key_is_held_as_long_as_it_sounds() -> None:
    assert held([C4, E4, G4, E4], "3 1 1 1") == [(), (C4,), (C4,), ()]


def test_what_the_hand_cannot_keep_is_let_go_for_good() -> None:
    """An octave and a fourth is beyond any hand of 20.5 cm; the key below it sounds on, let go."""
    assert held([C4, F5, E4, G4], "4 1 1 1") == [(), (), (), ()]
    assert held([C3, C4, F5, G4], "4 4 1 1") == [(), (C3,), (), ()]


def test_time_goes_by_the_tempo() -> None:
    """At 120 quarters a minute a quarter lasts half a second, and so do two eighths of silence."""
    line = lasting(keys_line([C4, E4, G4], length="2"), "1 2 1")
    steps = steps_of(line, Hand.RIGHT, 120, 205.0)
    assert [step.seconds for step in steps] == [0.0, 1.0, 1.0]
    assert [step.silence for step in steps] == [0.0, 0.5, 0.0]


@pytest.mark.parametrize(
    ("length", "quick"), [("1/4", True), ("1/2", True), ("9/16", False), ("1", False)]
)
def test_quick_are_eighths_and_what_is_shorter(length: str, quick: bool) -> None:
    """Whatever the tempo: common practice, no source. The first key is come to at leisure."""
    for tempo in (40, 160):
        steps = steps_of(keys_line([C4, E4, G4], length=length), Hand.RIGHT, tempo, 205.0)
        assert [step.quick for step in steps] == [False, quick, quick]


@pytest.mark.parametrize("mark", ["staccato", "staccatissimo", "spiccato"])
def test_what_is_played_short_is_not_joined_to_what_follows(mark: str) -> None:
    first, second, third = keys_line([C4, E4, G4], length="1")
    line = (first, replace(second, articulations=(mark,)), third)
    assert [step.joined for step in steps_of(line, Hand.RIGHT, 60, 205.0)] == [False, True, False]
    accented = (first, replace(second, articulations=("accent",)), third)
    steps = steps_of(accented, Hand.RIGHT, 60, 205.0)
    assert [step.joined for step in steps] == [False, True, True]


def test_joined_are_keys_without_a_rest_between() -> None:
    line = lasting(keys_line([C4, E4, G4], length="1"), "1 1/2 1")
    steps = steps_of(line, Hand.RIGHT, 60, 205.0)
    assert [step.joined for step in steps] == [False, True, False]
    assert [step.silence for step in steps] == [0.0, 0.0, 0.5]
    assert [step.seconds for step in steps] == [0.0, 1.0, 1.0]
