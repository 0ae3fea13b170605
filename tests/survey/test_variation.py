"""A place that is another but for some notes is no place of its own; one that only resembles is."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.music.notes import Hand
from engrave.music.sheet import Bar
from engrave.remarks import Remark
from engrave.survey import Wanted, survey
from engrave.survey.alike import VARIED
from engrave.survey.cells import Clock, cells_of
from engrave.survey.lines import line_of
from engrave.survey.model import Pace
from engrave.survey.variation import Variants
from engrave.survey.words import again
from tests.sheets import bar, sheet
from tests.survey.pieces import easy, score, with_hand

OCTAVES = ("C4,C5:16 E4,E5:16 D4,D5:16 F4,F5:16 " * 4, "E4,E5:16 G4,G5:16 F4,F5:16 A4,A5:16 " * 4)
ENDING = "E4,E5:16 G4,G5:16 F4,F5:16 A4,A5:16 " * 3 + "B3,B4:8 C4,C5:8"


def shared(known: str, other: str) -> float:
    """What the measure ``known`` has of the measure ``other``, both in one score of 4/4."""
    bars = [
        bar(words, "R:1", meter="4/4", name=str(number))
        for number, words in enumerate((known, other), 1)
    ]
    music = sheet(*bars, staves=(1, 2))
    clock = Clock(Pace(((Fraction(0), Fraction(96)),), Remark("")))
    cells = cells_of(music, clock)
    lines = {each: line_of(music, each, 205.0, clock) for each in Hand}
    found = Variants(lines, cells)
    return found.share(range(4), range(4, len(cells)), (Hand.RIGHT,))


@pytest.mark.parametrize(
    ("known", "other", "share"),
    [
        pytest.param("C4:4 E4:4 D4:4 F4:4", "C4:4 E4:4 D4:4 G3:4", 3 / 4, id="last beat"),
        pytest.param("C4:4 E4:4 D4:4 F4:4", "C5:4 E5:4 D5:4 F5:4", 1, id="octave"),
        pytest.param(
            "C4:4 E4:4 D4:4 F4:4", "G4:4 B4:4 A4:4 C5:4", 1 / 4, id="a tune on another step"
        ),
        pytest.param("C4:8 E4:8 D4:8 F4:8 " * 2, "D4:8 F4:8 E4:8 G4:8 " * 2, 1, id="a figure"),
        pytest.param("C4,E4,G4:4 D4,F4,A4:4", "C4,G4:4 D4,E4,A4:4", 1, id="inner notes"),
        pytest.param("C4,E4,G4,C5:4 D4,F4,A4,D5:4", "C4,C5:4 D4,D5:4", 0, id="fewer keys"),
        pytest.param("R:4 C4:4 E4:4 D4:4", "C4:4 E4:4 D4:4 R:4", 1, id="a beat earlier"),
        pytest.param("C4:4 E4:4 D4:4 F4:4", "C4:4 D4:4 B3:4 C4:4", 1 / 4, id="another way"),
        pytest.param("C4:4 E4:4 D4:4 F4:4", "C4:8 E4:8 D4:8 F4:8 R:2", 0, id="another rhythm"),
    ],
)
def test_what_another_place_has_already(known: str, other: str, share: float) -> None:
    assert shared(known, other) == pytest.approx(share)


def _with(places: dict[int, tuple[Hand, str]]) -> list[Bar]:
    music = easy(32)
    for index, (hand, words) in places.items():
        music[index] = with_hand(music[0], hand, words)
    return [replace(each, name=str(number)) for number, each in enumerate(music, 1)]


def test_a_place_with_another_ending_is_named_with_the_first() -> None:
    """Octaves in 5 and 6 come again in 21 and 22, where the last beat is another."""
    music = _with({4: (Hand.RIGHT, OCTAVES[0]), 5: (Hand.RIGHT, OCTAVES[1]),
                   20: (Hand.RIGHT, OCTAVES[0]), 21: (Hand.RIGHT, ENDING)})  # fmt: skip
    piece = survey(score(music, 96), wanted=Wanted(count=3))
    near = [each for each in piece.spots if each.measures.first in ("5", "21")]
    assert [each.measures.first for each in near] == ["5"]
    (said,) = again(near[0], piece.terrain.cells)
    assert "21" in said


def test_the_other_hand_s_figure_is_a_place_of_its_own() -> None:
    music = _with({4: (Hand.RIGHT, OCTAVES[0]), 5: (Hand.RIGHT, OCTAVES[1]),
                   20: (Hand.LEFT, OCTAVES[0]), 21: (Hand.LEFT, ENDING)})  # fmt: skip
    told = survey(score(music, 96), wanted=Wanted(count=2)).spots
    assert {each.hands for each in told} == {(Hand.RIGHT,), (Hand.LEFT,)}


def test_less_than_most_of_it_is_a_place_of_its_own() -> None:
    """Half of what another place has is not ``VARIED``."""
    assert shared("C4:4 E4:4 D4:4 F4:4", "C4:4 E4:4 A4:4 B3:4") < VARIED


def _both(old: Bar, right: str, left: str) -> Bar:
    """A bar in which each hand plays something else."""
    hands = {Hand.RIGHT: right, Hand.LEFT: left}
    played = [with_hand(old, hand, words).of(hand) for hand, words in hands.items()]
    return replace(old, events=tuple(event for events in played for event in events))


def test_where_the_harder_hand_is_known_the_other_stands_alone() -> None:
    """Octaves of 5 and 6 come again in 21 and 22, every second beat; between them the left runs."""
    music = _with({4: (Hand.RIGHT, OCTAVES[0]), 5: (Hand.RIGHT, OCTAVES[0])})
    octaves, run = "C4,C5:16 E4,E5:16 D4,D5:16 F4,F5:16 ", "C3,E3:16 E3,G3:16 D3,F3:16 F3,A3:16 "
    for index in (20, 21):
        music[index] = _both(music[index], (octaves + "r:4 ") * 2, ("r:4 " + run) * 2)
    piece = survey(score(music, 96), wanted=Wanted(count=2))
    known, alone = piece.spots
    assert (known.measures.first, known.hands) == ("5", (Hand.RIGHT,))
    assert (alone.measures.first, alone.hands) == ("21", (Hand.LEFT,))
    assert again(known, piece.terrain.cells) == ["Nearly the same in measures 21–22."]
    assert alone.height < known.height


def test_hands_that_take_turns_are_not_hard_at_once() -> None:
    """Octaves of the right hand, then of the left; or of both together."""
    quick, slow = "C4,C5:16 E4,E5:16 D4,D5:16 F4,F5:16 ", "C4:4 "
    turns, together = easy(24), easy(24)
    turns[4] = _both(turns[4], (quick + slow) * 2, (slow + quick) * 2)
    together[4] = _both(together[4], (quick + slow) * 2, (quick + slow) * 2)
    (one,) = survey(score(turns, 96), wanted=Wanted(count=1)).spots
    (other,) = survey(score(together, 96), wanted=Wanted(count=1)).spots
    assert one.hands == other.hands == (Hand.RIGHT, Hand.LEFT)
    assert 0.5 < one.at_once < 0.75
    assert other.at_once > 0.95
    assert other.strokes == 20
