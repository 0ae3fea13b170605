"""The picture of the whole piece for the front of a booklet, its passages named as in the booklet.

Enters: marks, the score, the passages of the booklet, a width. Leaves: a ``Terrain``. The survey is
kept from build to build: it depends on the score, the file's goal and the student's hands alone.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from engrave.booklet import Terrain
from engrave.cache import Cache, key_of
from engrave.marks import Marks
from engrave.model import Moment, Remark
from engrave.pipeline.drilling import Drilled
from engrave.ranges import parse_range
from engrave.score import Score, locate
from engrave.tempo import Goal
from engrave.units import Quarters

if TYPE_CHECKING:
    from engrave.survey import Survey


def terrain(
    surveyed: "Survey", score: Score, passages: Sequence[Drilled], width_mm: float, language: str
) -> Terrain:
    """The strip of the surveyed piece, the passages named by their numbers in the booklet."""
    from engrave.survey.picture import Named, strip

    named = [
        Named(str(number), each.passage.hands, *_ends(score, each.passage.label))
        for number, each in enumerate(passages, 1)
    ]
    picture = strip(surveyed, width_mm, named, language)
    return Terrain(picture, Remark.of("survey.caption"))


def survey_piece(marks: Marks, score: Score, cache: Cache) -> "Survey":
    """The survey of the score at the file's goal and for the student's hands."""
    goal = _goal(marks, score)
    hands = marks.student.stretch_mm

    def make() -> "Survey":
        from engrave.survey import survey

        return survey(score, goal, hands)

    stretch = tuple(sorted(hands.items()))
    movement = marks.piece.movement
    key = key_of("survey", score.sha256, score.file, score.part, movement, goal, stretch)
    return cache.made(key, make)


def _goal(marks: Marks, score: Score) -> Goal | None:
    """The goal of the file as a whole; None leaves it to the score."""
    if marks.tempo.goal is None or not score.sheet.bars:
        return None
    beat = marks.tempo.beat.value if marks.tempo.beat else score.sheet.bars[0].meter.beat
    return Goal(beat, marks.tempo.goal.value)


def _ends(score: Score, label: str) -> tuple[Quarters, Quarters]:
    """When a passage begins and ends, in quarters from the start of the score."""
    first, last = locate(score, parse_range(label))
    return _time(score, first), _time(score, last)


def _time(score: Score, moment: Moment) -> Quarters:
    return score.sheet.starts[moment.bar] + moment.offset
