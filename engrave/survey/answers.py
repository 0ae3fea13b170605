"""Which drills the spots would get: those that the tool chooses for such a passage.

Enters: a survey and its score. Leaves: the survey, its spots with the families of their drills,
made from the very passage that a marks file would name.
"""

from collections.abc import Sequence
from dataclasses import replace

from engrave.drills import FAMILIES
from engrave.drills.choosing import choose
from engrave.errors import EngraveError, Mistakes, Source
from engrave.marks.model import MarkedTempo, PassageMark, Placed
from engrave.music.ranges import MeasureRange
from engrave.passage.assembly import assemble
from engrave.passage.model import Passage
from engrave.score import Score, locate
from engrave.score.second_reading.opinion import Difference, touched
from engrave.survey.model import Spot, Survey

_NOWHERE = Source("")


def answered(survey: Survey, score: Score, differences: Sequence[Difference] = ()) -> Survey:
    """The survey with the drills of its spots; see ``answer``."""
    spots = tuple(answer(each, survey, score, differences) for each in survey.spots)
    return replace(survey, spots=spots)


def answer(spot: Spot, survey: Survey, score: Score, differences: Sequence[Difference]) -> Spot:
    """The spot with the drills that answer it.

    One that cannot be cut at its beats (a tuplet lies across the edge) is taken by whole measures;
    one that cannot be drilled at all, or in which a second reader found other notes
    (``differences``), gets none.
    """
    whole = MeasureRange(spot.measures.first, None, spot.measures.last, None)
    for measures in dict.fromkeys((spot.measures, whole)):
        try:
            passage = _passage(spot, measures, survey, score)
            if touched(differences, *locate(score, measures)):
                continue
        except (Mistakes, EngraveError):
            continue
        return replace(spot, measures=measures, label=measures.label, drills=_chosen(passage))
    return spot


def _passage(spot: Spot, measures: MeasureRange, survey: Survey, score: Score) -> Passage:
    cell = survey.terrain.cells[spot.first]
    goal = Placed(survey.pace.at(cell.start), _NOWHERE)
    quarter = Placed(score.sheet.bars[cell.bar].meter.beat, _NOWHERE)
    tempo = MarkedTempo(beat=quarter, goal=replace(goal, value=goal.value / quarter.value))
    mark = PassageMark(
        id="survey",
        source=_NOWHERE,
        measures=Placed(measures, _NOWHERE),
        hands=spot.hands,
        tempo=tempo,
    )
    return assemble(mark, score, survey.stretch_mm)


def _chosen(passage: Passage) -> tuple[str, ...]:
    """The families that the passage would get unasked."""
    as_written, *others = FAMILIES
    drills = choose(passage, as_written.unasked(passage).drills[0], others).drills
    return tuple(dict.fromkeys(drill.family for drill in drills))
