"""The six hardest stretches of real music hold the places that players name, for their reasons.

The places are common knowledge among those who play and teach the pieces; no source.
"""

from collections import Counter
from functools import cache

import pytest

from engrave.music.notes import Hand
from engrave.score import locate, read_score
from engrave.survey import Survey, survey
from engrave.survey.findings import KINDS
from tests.sheets import bar
from tests.survey.pieces import score
from tests.works import corpus

RAG, SONATA = "joplin/maple_leaf_rag.mxl", "mozart/k545/movement1_exposition.mxl"
POLONAISES = tuple(f"schumann_clara/polonaise_op1n{number}.mxl" for number in (1, 2, 3, 4))


@cache
def surveyed(work: str) -> Survey:
    return survey(read_score(corpus() / work))


@pytest.mark.parametrize(
    ("work", "first", "last", "hand", "kind"),
    [
        (SONATA, 5, 8, Hand.RIGHT, "speed"),
        (SONATA, 9, 10, Hand.RIGHT, "passes"),
        (RAG, 51, 54, Hand.LEFT, "moving"),
        (RAG, 59, 61, Hand.LEFT, "moving"),
        (RAG, 18, 20, Hand.LEFT, "chords"),
    ],
)
def test_places_that_players_name_are_among_the_six(
    work: str, first: int, last: int, hand: Hand, kind: str
) -> None:
    found = surveyed(work)
    whole = read_score(corpus() / work)
    for stretch in found.stretches:
        start, end = locate(whole, stretch.measures)
        names = {whole.sheet.bars[index].name for index in range(start.bar, end.bar + 1)}
        wanted = {str(number) for number in range(first, last + 1)}
        if len(names & wanted) > len(wanted) / 2 and hand in stretch.hands:
            assert kind in [KINDS[part.load] for part in stretch.parts[:3]]
            return
    pytest.fail(f"{work}: {first} to {last} is not among the six")


def test_speed_is_not_the_reason_for_most_places() -> None:
    """Found once: the reason in six of ten."""
    works = (RAG, "cpebach/h186.mxl", *POLONAISES)
    loads = Counter(stretch.parts[0].load for work in works for stretch in surveyed(work).stretches)
    assert loads["speed"] <= loads.total() / 3


def test_double_notes_in_the_middle_come_before_an_easy_opening_as_quick() -> None:
    """Sixteenths throughout the right hand, in thirds for one measure."""
    plain = "C4:16 D4:16 E4:16 F4:16 G4:16 F4:16 E4:16 D4:16 " * 2
    thirds = "C4,E4:16 D4,F4:16 E4,G4:16 F4,A4:16 G4,B4:16 F4,A4:16 E4,G4:16 D4,F4:16 " * 2
    music = [
        bar(thirds if number == 8 else plain, "C3:2 G3:2", meter="4/4", name=str(number + 1))
        for number in range(16)
    ]
    first = survey(score(music, 96)).stretches[0]
    assert first.measures.first in ("8", "9")
    assert "chords" in [part.load for part in first.parts[:2]]
