"""Leaps: what is one, how far it is and how hard, which are the worst."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.fingering.keyboard import distance_mm
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.positions import Leap, flag_worst, leap_between, leaps
from tests.hand.lines import line

STRETCH_MM = 205.0


def only(text: str, hand: Hand = Hand.LEFT) -> Leap:
    return leap_between(line(text, hand), 0, 1, hand)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("C2 C3", 0),  # an octave is spanned
        ("C2 D3", 0),  # so is a ninth, by 20.5 cm
        ("C2 E3", 1),  # a tenth is not
        ("C2 E3-G3-C4 C2", 2),  # to the chord and back
        ("C2-C3 G2-G3", 1),  # neighbouring octaves: a twelfth between the farthest notes
    ],
)
def test_a_leap_is_what_the_hand_cannot_span(text: str, found: int) -> None:
    onsets = line(text, Hand.LEFT)
    assert len(leaps(onsets, Hand.LEFT, STRETCH_MM)) == found


def test_a_wider_hand_leaps_less() -> None:
    onsets = line("C2 E3 F3 C2", Hand.LEFT)
    assert [len(leaps(onsets, Hand.LEFT, mm)) for mm in (190.0, 216.0, 240.0)] == [2, 1, 0]


@pytest.mark.parametrize(
    ("text", "hand", "start", "end", "keys", "mm", "bits"),
    [
        # n white keys to a white key: log2(n + 1) (Fitts 1954; MacKenzie 1992).
        ("C2 E3-G3-C4", Hand.LEFT, "C2", "E3", 9, 212.1, 3.322),
        ("E3-G3-C4 C2", Hand.LEFT, "E3", "C2", 9, 212.1, 3.322),
        ("C4 C6", Hand.RIGHT, "C4", "C6", 14, 330.0, 3.907),
        ("C7 E5-G5-C6", Hand.RIGHT, "C7", "C6", 7, 165.0, 3.000),
        ("C2-C3 C4-C5", Hand.LEFT, "C2", "C4", 14, 330.0, 3.907),
        ("C2-C3 C4-C5", Hand.RIGHT, "C3", "C5", 14, 330.0, 3.907),
        # To a black key the width is 10 mm: log2(165 / 10 + 1).
        ("F#2 F#3-A#3-C#4", Hand.LEFT, "F#2", "F#3", 7, 165.0, 4.129),
    ],
)
def test_figures(
    text: str, hand: Hand, start: str, end: str, keys: int, mm: float, bits: float
) -> None:
    leap = only(text, hand)
    assert (leap.start_pitch.spelling, leap.end_pitch.spelling) == (start, end)
    assert leap.distance_keys == keys
    assert leap.distance_mm == pytest.approx(mm, abs=0.05)
    assert leap.index_of_difficulty == pytest.approx(bits, abs=0.0005)
    assert leap.distance_mm == distance_mm(Pitch.parse(start), Pitch.parse(end))


def test_the_keys_at_either_end() -> None:
    leap = only("F#2 E4")
    assert (leap.start_key, leap.landing_key) == ("black", "white")
    leap = only("E4 F#2")
    assert (leap.start_key, leap.landing_key) == ("white", "black")


def timed(*notes: tuple[str, str, str]) -> tuple[Onset, ...]:
    onsets = []
    for name, time, length in notes:
        (onset,) = line(name, Hand.LEFT, length)
        onsets.append(replace(onset, index=len(onsets), time=Fraction(time)))
    return tuple(onsets)


def test_time_available_and_the_rest_in_it() -> None:
    leap = leap_between(timed(("C2", "0", "1"), ("C4", "3", "1")), 0, 1, Hand.LEFT)
    assert (leap.time, leap.rest) == (3, 2)
    legato = leap_between(timed(("C2", "0", "3"), ("C4", "3", "1")), 0, 1, Hand.LEFT)
    assert (legato.time, legato.rest) == (3, 0)


def test_the_two_worst_are_flagged_by_difficulty_and_time() -> None:
    onsets = timed(
        ("C2", "0", "1"), ("C4", "1", "1"), ("C2", "2", "1"), ("C5", "3", "1/2"),
        ("C2", "7/2", "1/2"), ("C4", "4", "1"),
    )  # fmt: skip
    found = leaps(onsets, Hand.LEFT, STRETCH_MM)
    # The quick ways back from C5 and up to C4 again; C2 to C5 is farther but has its time.
    assert [leap.start for leap in found if leap.flagged] == [3, 4]


def test_a_leap_that_comes_twice_is_flagged_once() -> None:
    found = leaps(line("C2 C4 C2 C4 C2 F3", Hand.LEFT), Hand.LEFT, STRETCH_MM)
    assert [leap.start for leap in found if leap.flagged] == [0, 1]
    assert flag_worst(()) == ()
