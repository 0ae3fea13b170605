"""Which drills answer the stretches: what suits their troubles and can be made of them.

Enters: a survey and its score. Leaves: the survey, its stretches with drills. Every drill named was
made once, from the very passage that a marks file would name.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from engrave.drills import FAMILIES
from engrave.errors import EngraveError, Mistakes, Source
from engrave.marks.model import Marks, PassageMark, Placed, Student, TempoMark
from engrave.music.ranges import MeasureRange
from engrave.music.values import UnprintableError
from engrave.passage.assembly import assemble
from engrave.passage.model import Passage
from engrave.score import Score, locate
from engrave.score.second_reading.opinion import Difference, touched
from engrave.survey.model import Stretch, Survey
from engrave.survey.table import LOADS

MOST_FAMILIES = 3
LEAST_SHARE = 0.08
"""A family that answers less than this share of the difficulty is not worth its page."""

BOTH_HANDS = 0.2
"""What taking the hands apart answers wherever both have the trouble."""

_NOWHERE = Source("")


def answered(survey: Survey, score: Score, differences: Sequence[Difference] = ()) -> Survey:
    """The survey with the drills of its stretches; see ``answer``."""
    stretches = tuple(answer(each, survey, score, differences) for each in survey.stretches)
    return replace(survey, stretches=stretches)


def answer(
    stretch: Stretch, survey: Survey, score: Score, differences: Sequence[Difference]
) -> Stretch:
    """The stretch with the drills that answer it.

    One that cannot be cut at its beats (a tuplet lies across the edge) is taken by whole measures;
    one that cannot be drilled at all, or in which a second reader found other notes
    (``differences``), gets none.
    """
    whole = MeasureRange(stretch.measures.first, None, stretch.measures.last, None)
    for measures in dict.fromkeys((stretch.measures, whole)):
        try:
            passage = _passage(stretch, measures, survey, score)
            if touched(differences, *locate(score, measures)):
                continue
        except (Mistakes, EngraveError):
            continue
        drills = tuple(_made(passage, _ranked(stretch)))
        return replace(stretch, measures=measures, label=measures.label, drills=drills)
    return stretch


def _passage(stretch: Stretch, measures: MeasureRange, survey: Survey, score: Score) -> Passage:
    cell = survey.terrain.cells[stretch.first]
    goal = Placed(survey.pace.at(cell.start), _NOWHERE)
    quarter = Placed(score.sheet.bars[cell.bar].meter.beat, _NOWHERE)
    tempo = TempoMark(beat=quarter, goal=replace(goal, value=goal.value / quarter.value))
    mark = PassageMark(
        id="survey",
        source=_NOWHERE,
        measures=Placed(measures, _NOWHERE),
        hands=stretch.hands,
        tempo=tempo,
    )
    marks = Marks(
        file=Path(),
        source=_NOWHERE,
        score=Placed(Path(score.file), _NOWHERE),
        passages=(mark,),
        student=Student(stretch_mm=survey.stretch_mm),
    )
    return assemble(mark, marks, score)


def _ranked(stretch: Stretch) -> list[str]:
    """Families by how much of the difficulty they answer; the second of a load's counts half."""
    answers: defaultdict[str, float] = defaultdict(float)
    for part in stretch.parts:
        for place, family in enumerate(LOADS[part.load].families):
            answers[family] += part.share / (place + 1)
    if len(stretch.hands) > 1:
        answers["hands-apart"] += BOTH_HANDS
    worth = [family for family, share in answers.items() if share >= LEAST_SHARE]
    return sorted(worth, key=lambda family: (-answers[family], family))


def _made(passage: Passage, families: Sequence[str]) -> list[str]:
    """The first few of ``families`` that make a drill of the passage."""
    by_name = {family.name: family for family in FAMILIES}
    found: list[str] = []
    for name in families:
        if len(found) == MOST_FAMILIES:
            break
        try:
            if by_name[name].unasked(passage).drills:
                found.append(name)
        except (EngraveError, UnprintableError):
            continue
    return found
