"""Which rules suggested fingers do not meet: told once, at their onset, and whether others would.

Which rules bind is common practice, no source, but for the reaches: of fingers on keys an octave
apart only 1 and 5, or 1 and 4, can be joined (Parncutt and others 1997).
"""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.fingering import FIGURE, Unmet, alike, unmet
from engrave.music.notes import FingerOrigin, Hand
from engrave.music.onset import Onset
from tests.hand.lines import line, onsets_fingered

STRETCH_MM = 205.0


def told(onsets: Sequence[Onset]) -> list[Unmet]:
    return list(unmet(onsets, Hand.RIGHT, STRETCH_MM, 100))


def suggested(text: str, fingers: str, length: str = "1/4") -> tuple[Onset, ...]:
    taken = [[int(each) for each in word.split("-")] for word in fingers.split()]
    return onsets_fingered(line(text, length=length), taken)


def test_what_follows_decides_on_the_outer_finger_of_the_last_chord() -> None:
    """The first chord of two stands by itself: its top is the fifth finger's."""
    found = told(suggested("C4-E4-G4 . C4-E4-G4", "1-2-4 1-2-4"))
    assert found == [Unmet("top", 0, 0, avoidable=True)]
    assert told(suggested("C4-E4-G4", "1-2-4")) == []
    # What else is broken there is told: two and three on a sixth, and one finger on two keys.
    assert told(suggested("C4-E4-G4 . C4-D4-B4", "1-2-5 1-2-3")) == [
        Unmet("chord-reach", 1, 1, avoidable=True)
    ]
    assert told(suggested("C4 D4 E4", "1 2 2")) == [Unmet("one-finger", 2, 1, avoidable=True)]


@pytest.mark.parametrize(("fingers", "place"), [("1 5 5", 2), ("1 1 5", 1)])
def test_what_cannot_be_avoided_is_so_wherever_it_is_broken(fingers: str, place: int) -> None:
    """Two octaves up, quickly: the middle one is the fifth finger's, and the thumb's."""
    found = told(suggested("C4 C5 C6", fingers))
    assert found == [Unmet("one-finger", place, place - 1, avoidable=False)]


@pytest.mark.parametrize(("given", "avoidable"), [(2, False), (None, True)])
def test_what_a_given_finger_forces_is_not_to_be_avoided(
    given: int | None, avoidable: bool
) -> None:
    """From the teacher's 2 no finger is joined to the octave; from a thumb the fifth is."""
    low, high = line("C4 C5")
    low = low.fingered([given], FingerOrigin.MARKS).fingered([2], FingerOrigin.COMPUTED)
    found = told([low, high.fingered([5], FingerOrigin.COMPUTED)])
    assert found == [Unmet("long-reach", 1, 0, avoidable)]


@pytest.mark.parametrize(
    ("keys", "given", "fingers", "avoidable"),
    [
        ("C4-G4-C5", (None, None, None), (1, 2, 3), True),  # a fourth by 2 and 3; 5 is free
        ("C4-G4-C5", (2, 3, None), (2, 3, 5), True),  # given, but not for want of others
        ("C4-C#4-D5", (None, None, None), (1, 2, 5), False),  # no finger reaches C#4 from 5 on D5
    ],
)
def test_a_chord_is_out_of_reach_where_no_fingers_hold_it(
    keys: str, given: tuple[int | None, ...], fingers: tuple[int, ...], avoidable: bool
) -> None:
    before, chord, after = line(f"E4 {keys} E4")
    thumbs = onsets_fingered([before, after], [(1,), (1,)])
    by_teacher = chord.fingered(given, FingerOrigin.MARKS)
    (taken,) = onsets_fingered([by_teacher], [fingers])
    found = told([thumbs[0], taken, thumbs[1]])
    reach = Unmet("chord-reach", 1, 1, avoidable)
    assert [each for each in found if each.rule == "chord-reach"] == [reach]


def test_beside_a_held_key_the_finger_that_holds_it_is_not_free() -> None:
    """C is held by the thumb from the second onset on; 4 and 5 are free for G, or there is none."""
    first, held, *above = line("E5 C4 F4 G4")
    (tone,) = held.tones
    long = replace(held, tones=(replace(tone, length=Fraction(1)),))
    once, twice = (
        told(onsets_fingered([first, long, *above], [(5,), (1,), *fingers]))
        for fingers in ([(3,), (4,)], [(3,), (3,)])
    )
    assert once == []
    assert twice == [Unmet("one-finger-held", 3, 2, avoidable=True)]


FIGURE_KEYS = "C E D G E A F G D"
"""Nine keys; the two at either end stand in other surroundings when they come again."""


def again(other: Sequence[int], origins: str = "cc") -> list[Onset]:
    """The figure and once more an octave higher, at ``other`` places of it with another finger.

    ``origins``: of each, whether its fingers are computed or the marks'.
    """
    found: list[Onset] = []
    names = " ".join(f"{key}{octave}" for octave in (4, 5) for key in FIGURE_KEYS.split())
    for number, onset in enumerate(line(names, length="1")):
        turn, place = divmod(number, 9)
        finger = 4 if turn and place in other else 2
        origin = FingerOrigin.COMPUTED if origins[turn] == "c" else FingerOrigin.MARKS
        found.append(onset.fingered([finger], origin))
    return found


@pytest.mark.parametrize(
    ("other", "unlike"),
    [
        ((), []),
        ((0, 1, 7, 8), []),  # its ends
        ((2,), [(11, 2)]),
        ((4,), [(13, 4)]),
        ((2, 3), [(11, 2)]),  # one place, told once
        ((2, 4), [(11, 2)]),
        ((2, 3, 4, 5, 6), [(11, 2)]),
        ((2, 5), [(11, 2), (14, 5)]),  # two places
        ((2, 4, 6), [(11, 2)]),
    ],
)
def test_a_figure_with_other_fingers_is_told_once_a_place(
    other: tuple[int, ...], unlike: list[tuple[int, int]]
) -> None:
    figures = [each for each in told(again(other)) if each.rule == FIGURE]
    assert figures == [Unmet(FIGURE, *pair, avoidable=False) for pair in unlike]
    pairs = {(11 + n, 2 + n) for n in range(5)}
    assert set(alike(again(other), Hand.RIGHT)) == pairs - {(9 + n, n) for n in other}


@pytest.mark.parametrize(
    ("origins", "is_told"), [("cc", True), ("cm", True), ("mc", True), ("mm", False)]
)
def test_what_is_given_in_both_places_is_nobodys_business(origins: str, is_told: bool) -> None:
    assert any(each.rule == FIGURE for each in told(again((4,), origins))) is is_told
