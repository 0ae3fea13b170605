"""Which onsets stand in figures that come again, named by number: two alike on either side."""

import pytest

from engrave.fingering.figures import (
    _away,
    _repeated,
    _runs,
    _Ties,
    groups_of,
    likenesses,
    parted,
    recurrences,
)
from engrave.fingering.line import steps_of
from engrave.fingering.step import Step
from engrave.music.notes import Hand
from tests.hand.lines import fingered, line, words


def steps(text: str) -> tuple[Step, ...]:
    return steps_of(line(text), Hand.RIGHT, 60)


@pytest.mark.parametrize(
    ("text", "groups"),
    [
        # The same keys again: all but the two at either edge.
        ("C4 E4 D4 F4 E4 C4 D4 B3 C4 E4 D4 F4 E4 C4 D4 B3",
         ((2, 10), (3, 11), (4, 12), (5, 13))),
        ("C4 E4 D4 F4 E4 C4 D4 B3 C5 E5 D5 F5 E5 C5 D5 B4",
         ((2, 10), (3, 11), (4, 12), (5, 13))),  # an octave higher
        ("C4 E4 D4 F4 E4 A4 D4 F4 E4 G4 F4", ((2, 8),)),  # a white key higher
        ("C4 E4 D4 F4 E4 A4 D4 F#4 E4 G4 F#4", ()),  # other black keys
        ("C4 D4 C4 D4 C4 D4 C4 D4", ((0, 2, 4, 6), (1, 3, 5, 7))),  # a trill
        ("C4 D4 C4 D4", ((0, 2), (1, 3))),
        ("C4 D4 C4", ()),
        ("C4 E4 G4 C4 E4 G4", ((0, 3), (1, 4), (2, 5))),  # a broken chord struck again
        ("C4 G4 E4 G4 C4 G4 E4 G4", ((0, 4), (1, 5), (2, 6), (3, 7))),  # Alberti's
        ("C4 E4 G4 C4 E4 A4", ()),
        # The second D ends one cell and does not begin the next, D G B.
        ("B3 C4 D4 B3 C4 D4 G3 B3 D4 G3 B3 D4",
         ((0, 3), (1, 4), (2, 5), (6, 9), (7, 10), (8, 11))),
        ("C4 D4 E4 F4 E4 D4 C4 D4 E4 F4 E4 D4 C4", ((2, 8), (3, 9), (4, 10))),
        # A run is a figure together with where it turns, be it the second onset of all.
        ("E4 C4 D4 E4 F4 G4 A4 E4 C4 D4 E4 F4 G4 A4", ((2, 9), (3, 10), (4, 11))),
        ("C4 D4 E4 F4 G4 A4 E4 C4 D4 E4 F4 G4 A4 E4", ((2, 9), (3, 10), (4, 11))),
        # It turns on D and on E flat, on F and on F sharp.
        ("D4 C4 D4 E4 F4 G4 A4 Eb4 C4 D4 E4 F4 G4 A4", ()),
        ("C4 D4 E4 F4 G4 A4 F4 C4 D4 E4 F4 G4 A4 F#4", ()),
        # A line in one direction is like itself a step on: no figure.
        ("C4 D4 E4 F4 G4 A4 B4 C5", ()),
        ("C4 E4 G4 C5 E5 G5 C6", ()),
        ("C4-G4 D4-F4 E4-B4 F4-A4 G4-D5 A4-C5 B4-F5 C5-E5", ()),  # nor of chords, by their lowest
        ("C4 C4 C4 C4 C4 C4", ()),
        ("C4 E4 G4 E4 D4 F4 A4 F4", ()),  # too little on either side
        # The same keys an octave higher, four on either side, though they turn elsewhere.
        ("G4 C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 C5 A5 C5 D5 E5 F5 G5 A5 B5 C6 D6 E6 B5",
         ((5, 17), (6, 18))),
        # One key again and again, by its place from the first stroke and from the last.
        ("A3 C4 C4 C4 C4 C4 C4 B3 E4 A3 C4 C4 C4 C4 C4 C4 B3 E4",
         ((2, 11), (3, 12), (4, 13), (5, 14), (6, 15))),
        ("A3 C4 C4 C4 C4 C4 C4 B3 E4 A3 C4 C4 C4 C4 C4 B3 E4", ((3, 12), (5, 13), (6, 14))),
    ],
)  # fmt: skip
def test_figures_that_come_again(text: str, groups: tuple[tuple[int, ...], ...]) -> None:
    assert groups_of(steps(text)) == groups


@pytest.mark.parametrize(("strokes", "alike"), [(33, True), (34, False)])
def test_of_a_key_struck_more_than_33_times_nobody_knows_the_tenth(
    strokes: int, alike: bool
) -> None:
    """Our limit, no source."""
    groups = groups_of(steps(f"A3 {'C4 ' * strokes} B3 E4 " * 2))
    assert any(10 in group for group in groups) == alike


def test_neighbours_are_never_in_one_group() -> None:
    """A finger that is to be the same on two keys in a row would have to hop."""
    for one, other in ((0, 1), (1, 0), (1, 2), (2, 1)):
        ties = _Ties([0, 1, 2], {0: [0], 1: [1], 2: [2]})
        ties.tie(one, other)
        assert ties.group == [0, 1, 2]
    ties = _Ties([0, 1, 2, 3], {number: [number] for number in range(4)})
    ties.tie(0, 2)
    ties.tie(1, 3)
    ties.tie(0, 3)  # 3 is beside 2, which is with 0
    assert sorted(map(sorted, ties.members.values())) == [[0, 2], [1, 3]]


def test_the_first_and_the_last_like_it() -> None:
    found = list(dict.fromkeys(recurrences(steps("C4 D4 C4 D4 C4 D4 C4 D4 C4 D4"))))
    assert found == [(4, 2), (5, 3), (6, 2), (6, 4), (7, 3), (7, 5)]


def test_like_keys_on_one_side_are_a_weaker_likeness() -> None:
    """Two before, two after, or one on either side."""
    found = list(likenesses(steps("C4 E4 G4 E4 C5 E5 G5 E5")))
    assert found == [(2, 6), (3, 7), (0, 4), (1, 5), (1, 5), (2, 6)]


@pytest.mark.parametrize(
    ("lows", "runs"),
    [
        ([0, 1, 2, 1, 0, 0, 3], [(0, 2), (0, 2), (2, 5), (2, 5), (2, 5), (2, 5), (4, 6)]),
        ([3, 2, 1], [(0, 2)] * 3),
        ([5], [(0, 0)]),
        ([], []),
        ([1, 2, 1, 2], [(0, 1), (0, 1), (2, 3), (2, 3)]),  # of two as long the rising one
    ],
)
def test_the_longer_stretch_in_one_direction(lows: list[int], runs: list[tuple[int, int]]) -> None:
    assert _runs(lows) == runs


@pytest.mark.parametrize(
    ("fingers", "groups"),
    [
        (". . . . 3 . . .   . . . . . . . .", ((2, 10), (3, 11), (4, 12))),
        # Given in both: the same finger, another one, within three onsets.
        (". . . . 3 2 . .   . . . . . 2 . .", ((2, 10), (3, 11), (4, 12))),
        (". . . . 3 2 . .   . . . . . 1 . .", ()),
        (". . . . . . 2 .   . . . . . . 1 .", ((2, 10),)),
        (". 2 . . . . . .   . 1 . . . . . .", ()),
        ("2 . . . . . . .   1 . . . . . . .", ((4, 12),)),
        # Given to a key which the other does not have there.
        (". . . . 3 . . .   . . . . . . . 4", ((2, 10), (3, 11))),
        (". . . . . . . 4   . . . . 3 . . .", ((2, 10), (3, 11))),
    ],
)
def test_a_given_finger_that_asks_for_another_parts_a_figure(
    fingers: str, groups: tuple[tuple[int, ...], ...]
) -> None:
    text = "C4 E4 D4 F4 E4 C4 D4 B3 C4 E4 D4 F4 E4 C4 D4 A3"
    found = steps_of(fingered(line(text), words(fingers)), Hand.RIGHT, 60)
    assert groups_of(found) == ((2, 10), (3, 11), (4, 12))
    assert parted(found, groups_of(found)) == groups


@pytest.mark.parametrize(
    ("below", "above", "agreed"), [("3", "3-5", True), ("3", "2-5", False), (".", "3-5", True)]
)
def test_a_finger_given_to_a_chord_beside_is_compared_from_its_lowest_key(
    below: str, above: str, agreed: bool
) -> None:
    onsets = line("C4 D4 E4 F4 G4 C5 D5 E5-G5 F5")
    given = words(f". . {below} . . . . {above} .")
    found = steps_of(fingered(onsets, given), Hand.RIGHT, 60)
    assert parted(found, [(1, 6)]) == (((1, 6),) if agreed else ())


def test_the_stretch_that_strikes_the_same() -> None:
    assert _repeated(steps("C4 D4 D4 D4 C4 C4")) == [(0, 0), *[(1, 3)] * 3, *[(4, 5)] * 2]


def test_how_far_off_the_lowest_keys_are() -> None:
    chords = steps("C4-E4 D4-B4 G4-A4")
    assert [_away(chords, 1, off) for off in (-1, 0, 1)] == [-1, 0, 3]
