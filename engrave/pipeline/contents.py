"""What was checked and engraved becomes the content of a booklet.

Enters: marks, score, passages and their pictures. Leaves: a ``Book``. Knows neither paper nor HTML.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from engrave.booklet import Book, DrillPage, Music, PassagePages, Progress, TerrainStrip
from engrave.booklet.said import moved_of
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
    """Drills with their pictures; why a ladder counts in another unit is said once in a booklet, of
    all drills of the family where that is first."""

    music: Mapping[str, Sequence[Music]]
    said: set[Remark] = field(default_factory=set)

    def of_passage(self, drilled: Drilled) -> PassagePages:
        """The passage as written and its drills."""
        (written,) = self._pages((drilled.written,))
        families = groupby(drilled.numbered, lambda drill: drill.family)
        return PassagePages(
            passage=drilled.passage,
            written=written,
            drills=tuple(page for _, drills in families for page in self._pages(tuple(drills))),
            notes=drilled.notes,
        )

    def _pages(self, drills: Sequence[Drill]) -> list[DrillPage]:
        """The pages of drills that stand together."""
        known = frozenset(self.said)
        self.said.update(moved for drill in drills if (moved := moved_of(drill)))
        return [DrillPage(_but_for(drill, known), self.music[drill.id]) for drill in drills]


def _but_for(drill: Drill, known: Collection[Remark]) -> Drill:
    """``drill`` without what its ladder says that is ``known``."""
    if moved_of(drill) not in known:
        return drill
    return replace(drill, ladder=replace(drill.ladder, moved=None))
