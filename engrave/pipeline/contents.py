"""What was checked and engraved becomes the content of a booklet.

Enters: marks, score, passages and their pictures. Leaves: a ``Book``. Knows neither paper nor HTML.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from engrave.booklet import Book, DrillPage, Music, PassagePages, Progress, TerrainStrip
from engrave.marks import Marks
from engrave.marks.placed import value_of
from engrave.music.drill import Drill
from engrave.pipeline.drilling import Drilled
from engrave.remarks import Remark
from engrave.score import Score


def book(
    marks: Marks,
    score: Score,
    passages: Sequence[Drilled],
    music: Mapping[str, Sequence[Music]],
    terrain: TerrainStrip | None = None,
    progress: Progress | None = None,
) -> Book:
    """The booklet of ``passages``; ``music`` by drill id, ``terrain`` where it is shown.

    ``progress`` is what is known of the time before it.
    """
    pages = _Pages(music)
    return Book(
        title=marks.piece.title or score.title,
        composer=marks.piece.composer or score.composer,
        movement=marks.piece.movement,
        student=marks.student.name,
        teacher=marks.teacher,
        performance=value_of(marks.performance),
        begin=value_of(marks.begin),
        minutes_a_day=marks.practice.minutes_a_day or 30,
        rest_days=marks.practice.rest_days,
        passages=tuple(pages.of_passage(each) for each in passages),
        terrain=terrain,
        progress=progress or Progress(),
    )


@dataclass(frozen=True, slots=True)
class _Pages:
    """Drills with their pictures; why a ladder counts in another unit is said once in a booklet."""

    music: Mapping[str, Sequence[Music]]
    said: set[Remark] = field(default_factory=set)

    def of_passage(self, drilled: Drilled) -> PassagePages:
        """The passage as written and its drills."""
        return PassagePages(
            passage=drilled.passage,
            written=self._page(drilled.written),
            drills=tuple(self._page(each) for each in drilled.numbered),
            notes=drilled.notes,
        )

    def _page(self, drill: Drill) -> DrillPage:
        moved, shown = drill.ladder.moved, drill
        if moved in self.said:
            shown = replace(drill, ladder=replace(drill.ladder, moved=None))
        elif moved:
            self.said.add(moved)
        return DrillPage(shown, self.music[drill.id])
