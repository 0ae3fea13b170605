"""What was checked and engraved becomes the content of a booklet.

Enters: marks, score, passages and their pictures. Leaves: a ``Book``. Knows neither paper nor HTML.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from engrave.booklet import Book, DrillPage, PassagePages, Progress, TerrainStrip
from engrave.engraver import Engraving
from engrave.marks import Marks
from engrave.marks.schema import WEEKDAYS
from engrave.music.drill import Drill, Remark
from engrave.pipeline.drilling import Drilled, number_of
from engrave.score import Score


def book(
    marks: Marks,
    score: Score,
    passages: Sequence[Drilled],
    engravings: Mapping[str, Engraving],
    terrain: TerrainStrip | None = None,
    progress: Progress | None = None,
) -> Book:
    """The booklet of ``passages``; ``engravings`` by drill id, ``terrain`` where it is shown.

    ``progress`` is what is known of the time before it.
    """

    told: set[Remark] = set()

    def page(each: Drill) -> DrillPage:
        """Why a ladder counts in another unit is said once in a booklet."""
        moved, shown = each.ladder.moved, each
        if moved in told:
            shown = replace(each, ladder=replace(each.ladder, moved=None))
        elif moved:
            told.add(moved)
        return DrillPage(shown, engravings[each.id].pictures)

    return Book(
        title=marks.piece.title or score.title,
        composer=marks.piece.composer or score.composer,
        movement=marks.piece.movement,
        student=marks.student.name,
        teacher=marks.teacher,
        performance=marks.performance.value if marks.performance else None,
        begin=marks.begin.value if marks.begin else None,
        minutes_a_day=marks.practice.minutes_a_day or 30,
        rest_days=tuple(WEEKDAYS[day] for day in marks.practice.rest_days),
        passages=tuple(
            PassagePages(
                number=number_of(marks, drilled),
                passage=drilled.passage,
                written=page(drilled.written),
                drills=tuple(page(each) for each in drilled.drills[1:]),
                notes=drilled.notes,
            )
            for drilled in passages
        ),
        terrain=terrain,
        progress=progress or Progress(),
    )
