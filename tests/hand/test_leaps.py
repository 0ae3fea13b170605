"""Leaps: what is one, how far the hand is displaced and how hard that is, which are the worst."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.displacement import Displacement, displacement
from engrave.passage.leaps import Leap, flag_worst, leap_between, leaps
from tests.hand.lines import fingered, line, words


def played(text: str, fingers: str, hand: Hand = Hand.LEFT) -> tuple[Onset, ...]:
    return fingered(line(text, hand), words(fingers))


def only(text: str, fingers: str, hand: Hand = Hand.LEFT) -> Leap:
    return leap_between(played(text, fingers, hand), 0, 1, hand)


@pytest.mark.parametrize(
    ("text", "fingers", "found"),
    [
        ("C2 C3", "5 1", 0),  # an octave that the open hand covers
        ("C2 B2", "1 1", 1),  # the thumb carried a seventh
        ("C2 A2", "1 1", 0),  # and a sixth
        ("C3 G3", "1 5", 0),  # carried a ninth by its fingers, over keys that lie under one hand
        ("C3 A3", "1 5", 1),
        ("C2 E3-G3-C4 C2", "5 5-3-1 5", 2),  # to the chord and back
        ("C2-C3 G2-G3", "5-1 5-1", 0),  # octaves a fifth apart
        ("C2 C3 C2 C3 F1 F2 F1 F2", "5 1 5 1 5 1 5 1", 0),  # broken, a fifth apart
        ("C2 C3 C2 C3 C1 C2 C1 C2", "5 1 5 1 5 1 5 1", 1),  # and an octave
    ],
)
def test_a_leap_is_a_displacement_of_a_seventh(text: str, fingers: str, found: int) -> None:
    assert len(leaps(played(text, fingers), Hand.LEFT)) == found


@pytest.mark.parametrize(
    ("text", "fingers", "hand", "start", "end", "keys", "mm", "bits"),
    [
        # n white keys to a white key: log2(n + 1) (Fitts 1954; MacKenzie 1992).
        ("C2 E3-G3-C4", "5 5-3-1", Hand.LEFT, "C2", "E3", 9, 212.1, 3.322),
        ("E3-G3-C4 C2", "5-3-1 5", Hand.LEFT, "E3", "C2", 9, 212.1, 3.322),
        ("C4 C6", "1 1", Hand.RIGHT, "C4", "C6", 14, 330.0, 3.907),
        # The little finger would have lain on G4.
        ("C4 C6", "1 5", Hand.RIGHT, "G4", "C6", 10, 235.7, 3.459),
        ("C2-C3 C4-C5", "5-1 5-1", Hand.LEFT, "C2", "C4", 14, 330.0, 3.907),
        # To a black key the width is 10 mm: log2(165 / 10 + 1).
        ("F#2 F#3-A#3-C#4", "5 5-3-1", Hand.LEFT, "F#2", "F#3", 7, 165.0, 4.129),
    ],
)
def test_figures(
    text: str, fingers: str, hand: Hand, start: str, end: str, keys: int, mm: float, bits: float
) -> None:
    leap = only(text, fingers, hand)
    assert (leap.moved.start.spelling, leap.moved.end.spelling) == (start, end)
    assert leap.moved.letters == keys
    assert leap.moved.mm == pytest.approx(mm, abs=0.05)
    assert leap.index_of_difficulty == pytest.approx(bits, abs=0.0005)


def test_fingers_still_on_their_keys_spare_a_leap_and_change_none() -> None:
    """The thumb lies on C3 under an octave: back there it is not carried; where it is, what the
    leap is in figures can be told from its two notes."""
    assert not leaps(played("C3 C2 C3", "1 5 1"), Hand.LEFT)
    (leap,) = leaps(played("C3 C2 C5", "1 5 1"), Hand.LEFT)
    alone = only("C2 C5", "5 1")
    assert (leap.moved.start, leap.moved.letters) == (alone.moved.start, alone.moved.letters)
    assert leap.moved.start.spelling == "G2"


def timed(*notes: tuple[str, str, str]) -> tuple[Onset, ...]:
    onsets: list[Onset] = []
    for name, time, length in notes:
        (onset,) = fingered(line(name, Hand.LEFT, length), words("5"))
        onsets.append(replace(onset, index=len(onsets), time=Fraction(time)))
    return tuple(onsets)


def test_time_available_and_the_rest_in_it() -> None:
    leap = leap_between(timed(("C2", "0", "1"), ("C4", "3", "1")), 0, 1, Hand.LEFT)
    assert (leap.time, leap.rest) == (3, 2)
    assert not leap.flagged  # it is compared with no other
    legato = leap_between(timed(("C2", "0", "3"), ("C4", "3", "1")), 0, 1, Hand.LEFT)
    assert (legato.time, legato.rest) == (3, 0)


def test_the_two_worst_are_flagged_by_difficulty_and_time() -> None:
    onsets = timed(
        ("C2", "0", "1"), ("C4", "1", "1"), ("C2", "2", "1"), ("C5", "3", "1/2"),
        ("C2", "7/2", "1/2"), ("C4", "4", "1"),
    )  # fmt: skip
    found = leaps(onsets, Hand.LEFT)
    # The quick ways back from C5 and up to C4 again; C2 to C5 is farther but has its time.
    assert [leap.start for leap in found if leap.flagged] == [3, 4]


def test_a_leap_that_comes_twice_is_flagged_once() -> None:
    found = leaps(played("C2 C4 C2 C4 C2 F3", "5 5 5 5 5 5"), Hand.LEFT)
    assert [leap.start for leap in found if leap.flagged] == [0, 1]
    assert flag_worst(()) == ()


@pytest.mark.parametrize(
    ("text", "fingers", "hand", "start", "end"),
    [
        # The thumb goes a sixth, but the fourth finger would have stood beside its key.
        ("C4-C5 A4-C5", "1-5 1-4", Hand.RIGHT, "B4", "C5"),
        ("C4-C5 C4-E4", "1-5 1-3", Hand.RIGHT, "C4", "C4"),  # one finger stays
        ("C4-E4-G4 F5", "1-3-5 3", Hand.RIGHT, "E4", "F5"),
        ("C4-E4 C6", "1-2 5", Hand.RIGHT, "A4", "C6"),  # by the nearest finger, the second
        ("E3-C4 E2", "3-1 5", Hand.LEFT, "C3", "E2"),  # by the third
    ],
)
def test_the_hand_goes_as_far_as_its_nearest_finger(
    text: str, fingers: str, hand: Hand, start: str, end: str
) -> None:
    moved = only(text, fingers, hand).moved
    assert (moved.start.spelling, moved.end.spelling) == (start, end)


def test_where_the_hand_goes_afterwards_says_nothing_of_where_it_stood() -> None:
    """The thumb on C4 and the third finger on E4: the fifth would lie over G4, though it comes to
    C5 at the end."""
    onsets = played("C4 E4 C6 C5", "1 3 5 5", Hand.RIGHT)
    moved = displacement(onsets, 2, Hand.RIGHT)
    assert moved is not None
    assert (moved.start.spelling, moved.end.spelling, moved.letters) == ("G4", "C6", 10)


def test_a_displacement_is_the_same_whatever_else_the_chords_hold() -> None:
    near, far = (Displacement(Pitch.parse("C2"), Pitch.parse("C4"), span) for span in (14, 18))
    assert near == far


def test_without_fingers_the_outer_notes_say_how_far() -> None:
    right = leap_between(line("C4-E4 G4-C6"), 0, 1, Hand.RIGHT).moved
    assert (right.start.spelling, right.end.spelling) == ("E4", "C6")
    left = leap_between(line("C3-E3 G1-C2", Hand.LEFT), 0, 1, Hand.LEFT).moved
    assert (left.start.spelling, left.end.spelling) == ("C3", "G1")


def test_the_two_worst_by_bits_over_time_are_flagged() -> None:
    """Fifteen, fourteen and thirteen white keys in one quarter, fourteen in four."""
    slow = [("C2", "0", "1"), ("C4", "4", "1"), ("C2", "8", "1")]
    quick = [("D4", "9", "1"), ("D2", "10", "1"), ("C4", "11", "1")]
    found = leaps(timed(*slow, *quick), Hand.LEFT)
    assert [leap.moved.letters for leap in found] == [14, 14, 15, 14, 13]
    assert [leap.flagged for leap in found] == [False, False, True, True, False]


@pytest.mark.parametrize(
    ("span", "is_leap", "is_wide"),
    [
        pytest.param(4, False, False, id="a fifth lies under five fingers"),
        pytest.param(5, True, False, id="a sixth does not"),
        pytest.param(7, True, False, id="an octave lies under the open hand"),
        pytest.param(8, True, True, id="a ninth does not"),
    ],
)
def test_what_lies_under_the_hand_is_no_leap(span: int, is_leap: bool, is_wide: bool) -> None:
    """However far its fingers say that it goes. Common practice, no source."""
    went = Displacement(Pitch("C", 0, 3), Pitch("B", 0, 3), span)
    assert (went.letters, went.is_leap, went.is_wide) == (6, is_leap, is_wide)
