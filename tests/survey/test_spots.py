"""Spots are what a musician would mark: whole runs with their landing, beats, bar lines."""

from collections.abc import Sequence
from dataclasses import replace

import pytest

from engrave.music.notes import Hand
from engrave.music.sheet import Bar
from engrave.score import read_score
from engrave.survey import Spot, Wanted, survey
from engrave.survey.naming import range_of
from tests.sheets import bar
from tests.survey.pieces import easy, score, with_hand
from tests.works import corpus


def hardest(bars: Sequence[Bar], mark: int = 96, count: int = 1) -> tuple[Spot, ...]:
    return survey(score(bars, mark), wanted=Wanted(count=count)).spots


def test_a_run_is_taken_whole_with_its_landing() -> None:
    """From beat 3 of measure 5 to the first beat of measure 7, where it lands."""
    music = easy(12)
    music[4] = with_hand(
        music[4], Hand.RIGHT, "C4:2 D4:16 E4:16 F4:16 G4:16 A4:16 B4:16 C5:16 D5:16"
    )
    music[5] = with_hand(
        music[5], Hand.RIGHT, "E5:16 F5:16 G5:16 A5:16 G5:16 F5:16 E5:16 D5:16 " * 2
    )
    music[6] = with_hand(music[6], Hand.RIGHT, "C5:2 r:2")
    (spot,) = hardest(music)
    assert str(spot.measures) == "5.3-7.1"
    assert spot.hands == (Hand.RIGHT,)


def test_a_leap_is_taken_from_where_it_takes_off() -> None:
    music = easy(12)
    music[5] = with_hand(music[5], Hand.LEFT, "r:2 r:4 C2:4")
    music[6] = with_hand(music[6], Hand.LEFT, "E5:8 C2:8 E5:8 C2:8 E5:2")
    (spot,) = hardest(music)
    assert spot.measures.first == "6"
    assert spot.hands == (Hand.LEFT,)


def test_most_of_a_measure_is_the_whole_measure() -> None:
    music = easy(12)
    music[5] = with_hand(music[5], Hand.RIGHT, "C4:16 D4:16 E4:16 F4:16 G4:16 A4:16 B4:16 C5:16 "
                         "D5:16 C5:16 B4:16 A4:16 G4:4")  # fmt: skip
    (spot,) = hardest(music)
    assert str(spot.measures).startswith("6")
    assert spot.measures.first_beat is None


def test_a_run_without_end_is_left_at_a_bar_line_where_it_lands() -> None:
    scale = "C4:16 D4:16 E4:16 F4:16 G4:16 A4:16 B4:16 C5:16 D5:16 C5:16 B4:16 A4:16 G4:16 F4:16"
    music = [with_hand(old, Hand.RIGHT, f"{scale} E4:16 D4:16") for old in easy(24)]
    for spot in hardest(music, count=4):
        assert spot.measures.first_beat is None
        assert spot.measures.last_beat in (None, 1)
        assert spot.beats <= 17


def test_no_two_stretches_overlap_and_they_come_hardest_first() -> None:
    told = hardest(easy(40), count=8)
    assert len(told) == 8
    taken = [index for each in told for index in range(each.first, each.last + 1)]
    assert len(taken) == len(set(taken))
    assert [each.height for each in told] == sorted((each.height for each in told), reverse=True)


def test_what_comes_back_is_told_once_with_its_other_places() -> None:
    """The same two measures three times, once an octave higher; a like passage is another."""
    music = easy(32)
    words = ("C4:16 E4:16 D4:16 F4:16 " * 4, "E4:16 G4:16 F4:16 A4:16 " * 4)
    for index in (4, 14):
        music[index : index + 2] = [with_hand(music[0], Hand.RIGHT, each) for each in words]
    music[24:26] = [with_hand(music[0], Hand.RIGHT, each, 1) for each in words]
    music = [replace(each, name=str(n)) for n, each in enumerate(music, 1)]
    told = hardest(music, count=2)
    assert told[0].measures.first in ("5", "15", "25")
    assert len(told[0].others) == 2
    assert told[1].height < told[0].height


def test_parts_add_up_and_come_heaviest_first() -> None:
    told = hardest(easy(40), count=8)
    assert len(told) == 8
    for each in told:
        shares = [part.share for part in each.parts]
        assert shares == sorted(shares, reverse=True)
        assert 0.5 < sum(shares) <= 1 + 1e-9


def test_a_share_is_kept_about() -> None:
    piece = score(easy(100))
    for share in (0.02, 0.06):
        told = survey(piece, wanted=Wanted(share=share)).spots
        beats = sum(each.beats for each in told) / 400
        assert abs(beats - share) <= 0.04


def test_a_piece_of_rests_has_no_stretches() -> None:
    silence = [bar("R:1", "R:1", meter="4/4", name=str(n)) for n in range(1, 5)]
    found = survey(score(silence))
    assert found.spots == ()
    assert found.level.value == 0


def test_one_hand_alone_can_be_surveyed() -> None:
    tune = [bar("C4:4 E4:4 G4:4 C5:4", "R:1", meter="4/4", name=str(n)) for n in range(1, 5)]
    assert {each.hands for each in survey(score(tune)).spots} == {(Hand.RIGHT,)}


def test_over_one_figure_what_the_other_hand_does_is_found_too() -> None:
    """The left hand leaps alike in every measure; in the third of four, triplets against it."""
    figure = "D2:16 A2:16 F3:16 A3:16 D3:16 A3:16 F4:16 A3:16 " * 2
    tune, triplets = "A4:2 F4:2", "D5:8t E5:8t F5:8t " * 4
    music = [
        bar(triplets if n % 4 == 3 else tune, figure, meter="4/4", name=str(n))
        for n in range(1, 17)
    ]
    one, other = survey(score(music, 72), wanted=Wanted(share=1.0)).spots[:2]
    assert one.hands == (Hand.LEFT,)
    assert other.hands == (Hand.RIGHT, Hand.LEFT)
    assert other.label == "2.4–4.1"
    assert other.parts[0].load == "two-rhythms"


def test_a_part_of_one_measure_is_named_by_both_its_beats() -> None:
    """Not 1–1.2 nor 1.3–1."""
    cells = survey(score(easy(1))).terrain.cells
    named = [range_of(cells, *ends).label for ends in ((0, 1), (2, 3), (1, 2), (0, 3))]
    assert named == ["1.1–1.2", "1.3–1.4", "1.2–1.3", "1"]


@pytest.mark.parametrize(
    "work", ["joplin/maple_leaf_rag.mxl", "schumann_clara/polonaise_op1n3.mxl"]
)
def test_fewer_spots_are_the_hardest_of_more(work: str) -> None:
    """The rag's third and ninth are alike an easier place that comes before them."""
    music = read_score(corpus() / work)
    every = survey(music, wanted=Wanted()).spots
    assert len(every) > 8
    for count in range(1, 10):
        assert survey(music, wanted=Wanted(count=count)).spots == every[:count]
