"""The level ranks pieces as teachers grade them, and does not grow with repetition."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import sqrt

import pytest

from engrave.fingering.costs import FINGERING
from engrave.music.notes import Hand
from engrave.music.sheet import Bar
from engrave.score import read_score
from engrave.survey import Level, survey
from engrave.survey.level import PARTS
from tests.hand.forgetting import forget_costs
from tests.sheets import bar
from tests.survey.pieces import KINDS, easy, planted, score, with_hand
from tests.works import corpus

# Grades from 1 to 9 as publishers and examiners give them, from memory; those of a whole piece, of
# a song those of its piano part.
GRADES = {
    "liliuokalani/aloha_oe.mxl": 2,
    "bach/bwv846.mxl": 2,
    "schumann_robert/opus48no2.mxl": 2,
    "beach/prayer_of_a_tired_child.musicxml": 3,
    "verdi/laDonnaEMobile.mxl": 3,
    "schumann_clara/polonaise_op1n4.mxl": 4,
    "schumann_clara/polonaise_op1n2.mxl": 4,
    "mozart/k545/movement1_exposition.mxl": 4,
    "schumann_clara/polonaise_op1n1.mxl": 5,
    "schumann_clara/polonaise_op1n3.mxl": 5,
    "cpebach/h186.mxl": 5,
    "schubert/Lindenbaum.xml": 5,
    "joplin/maple_leaf_rag.mxl": 6,
}


SONGS = ("beach/prayer_of_a_tired_child.musicxml", "schubert/Lindenbaum.xml")


@cache
def surveyed(work: str) -> Level:
    part = "Piano" if work in SONGS else None
    return survey(read_score(corpus() / work, part=part)).level


def level(work: str) -> float:
    return surveyed(work).value


@pytest.mark.parametrize(
    ("easier", "harder"),
    [pair for pair in combinations(GRADES, 2) if GRADES[pair[1]] - GRADES[pair[0]] >= 2],
)
def test_real_pieces_two_grades_apart_are_told_apart(easier: str, harder: str) -> None:
    assert level(easier) < level(harder)


def tau(found: Sequence[float]) -> float:
    """Kendall's tau-b between figures of the works and their grades."""
    grades = list(GRADES.values())
    agree, ties = 0, [0, 0]
    for one, other in combinations(range(len(grades)), 2):
        here, there = found[one] - found[other], grades[one] - grades[other]
        agree += (here * there > 0) - (here * there < 0)
        ties = [ties[0] + (here != 0), ties[1] + (there != 0)]
    return agree / sqrt(ties[0] * ties[1])


def test_ranks_agree_with_the_grades(capsys: pytest.CaptureFixture[str]) -> None:
    """The whole level better than any of its parts."""
    whole = tau([level(work) for work in GRADES])
    alone = {part.name: tau([surveyed(work).parts[part.name] for work in GRADES]) for part in PARTS}
    without = {
        part.name: tau([level(work) - surveyed(work).parts[part.name] for work in GRADES])
        for part in PARTS
    }
    with capsys.disabled():
        print(f"\ngrades of {len(GRADES)} real pieces: tau {whole:.2f}", end="; ")
        for name in alone:
            print(f"{name} alone {alone[name]:.2f}, without {without[name]:.2f}", end="; ")
    assert whole > 0.75
    assert whole > max(alone.values())


def test_better_fingers_for_players_do_not_move_the_level() -> None:
    """The survey goes by weights of its own: it does without those of fingering altogether."""
    music = planted(easy(16), {2: KINDS["runs"][1], 8: KINDS["leaps"][1]})
    before, known = of(music), dict(FINGERING)
    forget_costs()
    FINGERING.clear()
    try:
        assert of(music) == before
    finally:
        FINGERING.update(known)


def of(bars: list[Bar], mark: int | None = 96) -> Level:
    named = [replace(each, name=str(number)) for number, each in enumerate(bars, 1)]
    return survey(score(named, mark)).level


# A method book's way: a tune, a held bass, quavers against it, then runs, then leaps under runs.
TUNE = [bar("C4:4 D4:4 E4:4 C4:4", "R:1", meter="4/4"), bar("E4:4 F4:4 G4:2", "R:1", meter="4/4")]
BROKEN = [
    replace(each, events=each.of(Hand.RIGHT) + with_hand(each, Hand.LEFT, "C3:8 G3:8 E3:8 G3:8 " * 2
    ).of(Hand.LEFT)) for each in easy(8)
]  # fmt: skip
RUNS = planted(BROKEN, {2: KINDS["runs"][1], 6: KINDS["runs"][1]})
LEAPS = planted(RUNS, {4: KINDS["leaps"][2], 0: KINDS["leaps"][1]})
BOOK = {"tune": TUNE * 4, "bass": easy(8), "broken": BROKEN, "runs": RUNS, "leaps": LEAPS}


def test_a_method_book_goes_up() -> None:
    levels = [of(music).value for music in BOOK.values()]
    assert levels == sorted(levels)
    assert len(set(levels)) == len(levels)


def test_to_play_a_piece_twice_makes_it_no_harder() -> None:
    music = planted(easy(40), {4: KINDS["runs"][1], 20: KINDS["leaps"][1], 30: KINDS["chords"][1]})
    once, twice = of(music), of(music * 2)
    assert twice.value == pytest.approx(once.value, rel=0.02)
    assert twice.parts["material"] == once.parts["material"]


def test_one_hard_measure_does_not_make_a_long_piece_hard() -> None:
    long = easy(80)
    spoilt = planted(long, {40: KINDS["leaps"][2]})
    assert of(spoilt).value == pytest.approx(of(long).value, rel=0.05)
