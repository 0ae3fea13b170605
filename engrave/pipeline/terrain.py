"""The picture of the whole piece for the front of a booklet, its passages named as in the booklet.

Enters: marks, the score, the passages of the booklet, a width. Leaves: a ``TerrainStrip``. The
survey is kept from build to build: it depends on the score, the file's goal and the student's hands
alone.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import TYPE_CHECKING

from engrave.booklet import TerrainStrip
from engrave.machine.beside import Beside
from engrave.machine.cache import Cache, key_of
from engrave.marks import Marks
from engrave.music.ranges import MeasureRange
from engrave.music.tempo import Goal
from engrave.music.units import Quarters
from engrave.pipeline.drilling import Drilled
from engrave.pipeline.keeping import music_of
from engrave.remarks import Remark
from engrave.score import Score, locate

if TYPE_CHECKING:
    from engrave.survey import Survey, Terrain
    from engrave.survey.picture import Strip


def terrain_strip(
    marks: Marks,
    score: Score,
    passages: Sequence[Drilled],
    width_mm: float,
    language: str,
    cache: Cache,
    surveyed: "Callable[[], Terrain]",
) -> TerrainStrip:
    """The strip of the piece, the passages named by their numbers in the booklet.

    ``surveyed`` gives the terrain of the piece, where the strip was not drawn before.
    """
    places = tuple(
        (str(each.passage.number), each.passage.hands, *_ends(score, each.passage.measures))
        for each in passages
    )

    def make() -> "Strip":
        from engrave.survey.picture import Named, strip

        named = [Named(*place) for place in places]
        return strip(surveyed(), score.title or score.file, width_mm, named, language)

    key = key_of("strip", *_surveyed(marks, score), places, width_mm, language)
    picture = cache.made(key, make)
    return TerrainStrip(picture, Remark.of("survey.caption"), picture.shows)


def terrain_of_piece(marks: Marks, score: Score, cache: Cache) -> "Terrain":
    """The terrain of the score at the file's goal and for the student's hands."""

    def make() -> "Terrain":
        from engrave.survey import survey_terrain

        return survey_terrain(score, _goal(marks, score), marks.student.stretch_mm)

    return cache.made(_terrain_key(marks, score), make)


@contextmanager
def surveying(
    marks: Marks, score: Score, cache: Cache, alone: bool
) -> "Iterator[Callable[[], Terrain]]":
    """Survey the piece in a process beside, unless ``alone`` or that was kept.

    Gives the function that waits for its terrain.
    """
    is_kept = cache.is_on and cache.has(_terrain_key(marks, score))
    with Beside(partial(terrain_of_piece, marks, score, cache), alone or is_kept) as terrain:
        yield terrain.value


def _terrain_key(marks: Marks, score: Score) -> str:
    return key_of("terrain", *_surveyed(marks, score))


def survey_piece(marks: Marks, score: Score, cache: Cache) -> "Survey":
    """The survey of the score at the file's goal and for the student's hands."""

    def make() -> "Survey":
        from engrave.survey import survey

        return survey(score, _goal(marks, score), marks.student.stretch_mm)

    return cache.made(key_of("survey", *_surveyed(marks, score)), make)


def _surveyed(marks: Marks, score: Score) -> tuple[object, ...]:
    """All that a survey depends on."""
    return *music_of(marks, score), _goal(marks, score)


def _goal(marks: Marks, score: Score) -> Goal | None:
    """The goal of the file as a whole; None leaves it to the score."""
    if marks.tempo.goal is None or not score.sheet.bars:
        return None
    beat = marks.tempo.beat.value if marks.tempo.beat else score.sheet.bars[0].meter.beat
    return Goal(beat, marks.tempo.goal.value)


def _ends(score: Score, measures: MeasureRange) -> tuple[Quarters, Quarters]:
    """When a passage begins and ends, in quarters from the start of the score."""
    first, last = locate(score, measures)
    return score.sheet.time_of(first), score.sheet.time_of(last)
