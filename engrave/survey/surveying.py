"""A score is surveyed.

Enters: a ``Score``, a goal, the hands' stretch, how much is wanted. Leaves: a ``Survey``, or of it
the ``Terrain`` alone.
"""

from collections.abc import Mapping

from engrave.errors import EngraveError
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.tempo import Goal
from engrave.score import Score, measures_of
from engrave.survey.cells import Clock, cells_of
from engrave.survey.level import level_of
from engrave.survey.lines import HandLine, line_of
from engrave.survey.model import Cell, Pace, Survey, Terrain
from engrave.survey.moving import leaps
from engrave.survey.pace import pace_of
from engrave.survey.recurrence import Contents
from engrave.survey.searched import Searched
from engrave.survey.spots import SIX, Wanted, spots_of
from engrave.survey.terrain import terrain_of
from engrave.survey.variation import Variants
from engrave.survey.weighing import weighed


def survey(
    score: Score,
    goal: Goal | None = None,
    stretch_mm: Mapping[Hand, float] | None = None,
    wanted: Wanted = SIX,
) -> Survey:
    """The terrain of ``score`` at the goal and for those hands, its level, its hardest spots.

    Without a goal the score's own marks hold, then its tempo words, then a default; the pace says
    which. ``stretch_mm`` is thumb to little finger of each hand, 205 mm where nothing is said.
    Raises ``EngraveError`` for a score without time.
    """
    hands = _hands(stretch_mm)
    pace = pace_of(score, goal)
    cells, lines = _read(score, pace, hands)
    terrain = terrain_of(lines, cells)
    contents = Contents(lines, cells)
    piece = Searched(
        lines,
        terrain,
        weighed(terrain),
        contents,
        Variants(lines, cells),
        meters=[bar.meter for bar in score.sheet.bars],
        leaping={hand: [load > 0 for load in leaps(line)] for hand, line in lines.items()},
    )
    return Survey(
        title=score.title,
        composer=score.composer,
        file=score.file,
        sha256=score.sha256,
        measures=len(measures_of(score.sheet)),
        pace=pace,
        stretch_mm=hands,
        terrain=terrain,
        level=level_of(terrain, contents, lines),
        spots=spots_of(piece, wanted),
    )


def survey_terrain(
    score: Score, goal: Goal | None = None, stretch_mm: Mapping[Hand, float] | None = None
) -> Terrain:
    """The terrain alone, of the same; raises ``EngraveError`` for a score without time."""
    cells, lines = _read(score, pace_of(score, goal), _hands(stretch_mm))
    return terrain_of(lines, cells)


def _hands(stretch_mm: Mapping[Hand, float] | None) -> dict[Hand, float]:
    return {hand: (stretch_mm or {}).get(hand, STRETCH_MM) for hand in Hand}


def _read(
    score: Score, pace: Pace, hands: Mapping[Hand, float]
) -> tuple[tuple[Cell, ...], dict[Hand, HandLine]]:
    """The beats of the score, and what each hand plays in them."""
    clock = Clock(pace)
    cells = cells_of(score.sheet, clock)
    if not cells:
        raise EngraveError(f"{score.file} has no measures that last any time")
    return cells, {hand: line_of(score.sheet, hand, hands[hand], clock) for hand in Hand}
