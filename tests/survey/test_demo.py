"""On the demo the survey finds what its teacher marked."""

from functools import cache

from engrave.drills import OPTIONS
from engrave.marks import read_marks
from engrave.score import Score, locate, read_score
from engrave.survey import Survey, survey
from tests.works import ROOT

MARKS = ROOT / "scores" / "lantern-rondo.yaml"
OTHERS = 2
"""How many spots that are no passages may stand among them."""


@cache
def rondo() -> Score:
    return read_score(read_marks(MARKS, OPTIONS).score.value)


def surveyed() -> Survey:
    return survey(rondo(), stretch_mm=read_marks(MARKS, OPTIONS).student.stretch_mm)


def bars_of(found: Survey, first: int, last: int) -> set[int]:
    return {cell.bar for cell in found.terrain.cells[first : last + 1]}


def test_the_passages_are_among_the_first_stretches() -> None:
    passages = read_marks(MARKS, OPTIONS).passages
    found = surveyed()
    first = found.spots[: len(passages) + OTHERS]
    for mark in passages:
        start, end = locate(rondo(), mark.measures.value)
        wanted = set(range(start.bar, end.bar + 1))
        covering = [
            spot
            for spot in first
            if len(wanted & bars_of(found, spot.first, spot.last)) / len(wanted) > 0.5
        ]
        assert covering, mark.id
        assert any(set(spot.hands) & set(mark.hands) for spot in covering), mark.id


def test_each_is_hard_for_the_reason_that_the_teacher_gives() -> None:
    """Thumbs in the run, black-key leaps in the left hand, speed in the last run."""
    found = surveyed()
    by_measure = {spot.measures.first: spot for spot in found.spots}
    run = by_measure["46"]
    assert "passes" in [part.load for part in run.parts[:3]]
    leaps = next(each for each in found.spots if each.parts[0].load == "leaps")
    assert leaps.measures.first in ("69", "70")
    assert leaps.hand == "left"
