"""What became of every passage: where it stands, since when, and what it needs next.

Enters: checked marks with the log. Leaves: a ``Story`` a passage, those that are done among them.
A week without a new mark, tried on three days or more, is what a teacher would call stuck (common
practice, no source).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from engrave.log.model import Practised
from engrave.log.picture import Curve, Point
from engrave.log.progress import Attempt, Diary, reached
from engrave.marks import PassageMark
from engrave.marks.placed import value_of
from engrave.music.drill import Drill, Ladder
from engrave.music.ranges import MeasureRange
from engrave.music.tempo import SCALE
from engrave.passage.model import Passage
from engrave.pipeline.checking import Checked
from engrave.pipeline.progress import targets_of
from engrave.remarks import Remark
from engrave.words import heading

WEEK = timedelta(days=7)
TRIED_DAYS = 3


@dataclass(frozen=True, slots=True)
class DrillStory:
    """A drill: its number in the passage (0: as written), its boxes before and now.

    ``tried`` are the days on which it was tried since the last lesson; ``is_noted``: the teacher
    says of a day since then what was reached.
    """

    drill: Drill
    number: int
    before: int | None
    tried: tuple[date, ...]
    is_noted: bool = False

    @property
    def now(self) -> int | None:
        """The box that is ticked."""
        return self.drill.ladder.reached

    @property
    def is_moved(self) -> bool:
        """Whether a box was ticked since the last lesson."""
        return self.now is not None and self.now > (self.before or 0)

    @property
    def is_stuck(self) -> bool:
        """Whether it was tried again and again and did not move."""
        there = self.now == self.drill.ladder.marks[-1]
        return len(self.tried) >= TRIED_DAYS and not self.is_moved and not there


@dataclass(frozen=True, slots=True)
class Story:
    """A passage: ``reached``, ``first`` and ``goal`` are marks of the passage as written.

    ``word`` is the student's last; ``done``: it is not in the booklet any more; ``is_new``: the
    last lesson did not have it; ``is_left``: it did, and nothing is known of it since.
    """

    number: int
    id: str
    measures: MeasureRange
    days: tuple[date, ...]
    minutes: Fraction
    word: str = ""
    drills: tuple[DrillStory, ...] = ()
    reached: int | None = None
    done: bool = False
    done_on: date | None = None
    is_new: bool = False
    is_left: bool = False

    @property
    def ladder(self) -> Ladder:
        """That of the passage as written."""
        return self.drills[0].drill.ladder

    @property
    def first(self) -> int:
        """The first mark."""
        return self.ladder.marks[0]

    @property
    def goal(self) -> int:
        """The last mark."""
        return self.ladder.marks[-1]

    @property
    def stuck(self) -> tuple[DrillStory, ...]:
        """The drills that were tried in vain."""
        return tuple(each for each in self.drills if each.is_stuck)

    @property
    def is_noted(self) -> bool:
        """Whether the teacher says of a day since the last lesson what was reached."""
        return any(each.is_noted for each in self.drills)

    @property
    def moved(self) -> tuple[DrillStory, ...]:
        """The drills that went up: the passage as written, and what log or teacher know of."""
        return tuple(
            each
            for each in self.drills
            if each.is_moved and (each.tried or each.is_noted or not each.number)
        )

    @property
    def goes_well(self) -> bool:
        """Whether the passage as written is at its goal or one box before."""
        return self.reached is not None and self.reached in self.ladder.marks[-2:]


def since(checked: Checked) -> date | None:
    """The day from which on things are new: that of the last lesson, or a week before this one."""
    if checked.marks.lesson is None or checked.recorded is None:
        return None
    before = checked.lesson_before
    return before[0] if before else checked.marks.lesson.value - WEEK


def stories(checked: Checked) -> list[Story]:
    """The stories of all passages of the marks, by their numbers."""
    diary, start, before = checked.diary, since(checked), checked.lesson_before
    drilled = {each.passage.id: each.drills for each in checked.passages}
    printed = {each.passage.id: each.passage.measures for each in checked.passages}
    told = []
    for mark in checked.marks.passages:
        days, minutes, word = _practised(diary, mark.id)
        measures = printed.get(mark.id) or mark.measures.value.from_the_measure
        is_new = before is not None and mark.id not in before[1].passages
        story = Story(mark.number, mark.id, measures, days, minutes, word, is_new=is_new)
        if mark.id in drilled:
            story = _going_on(story, drilled[mark.id], diary, start)
            was_had = before is not None and not is_new
            is_left = was_had and not (story.moved or _is_known_since(story, start))
            told.append(replace(story, is_left=is_left))
        else:
            told.append(_done(story, mark, diary, value_of(checked.marks.lesson)))
    return sorted(told, key=lambda story: story.number)


def _practised(diary: Diary, id: str) -> tuple[tuple[date, ...], Fraction, str]:
    mine = [
        (each.day, each.what)
        for each in diary.practised
        if isinstance(each.what, Practised) and each.what.passage == id
    ]
    days = tuple(dict.fromkeys(day for day, _ in mine))
    words = [what.word for _, what in mine if what.word]
    minutes = sum((what.minutes or Fraction(0) for _, what in mine), Fraction(0))
    return days, minutes, words[-1] if words else ""


def _is_known_since(story: Story, start: date | None) -> bool:
    """Whether log or teacher have a word of it since the last lesson."""
    return story.is_noted or (start is not None and any(day > start for day in story.days))


def _going_on(story: Story, drills: Sequence[Drill], diary: Diary, start: date | None) -> Story:
    told = tuple(_drill(each, n, diary, start) for n, each in enumerate(drills))
    return replace(story, drills=told, reached=drills[0].ladder.reached)


def _drill(each: Drill, number: int, diary: Diary, start: date | None) -> DrillStory:
    attempts = diary.of(*targets_of(each))
    if start is None:
        return DrillStory(each, number, each.ladder.reached, ())
    earlier = [attempt for attempt in attempts if attempt.day <= start]
    days = dict.fromkeys(attempt.day for attempt in attempts if attempt.day > start)
    noted = each.ladder.noted
    is_noted = noted is not None and noted[1] > start
    return DrillStory(each, number, _before(each.ladder, earlier, start), tuple(days), is_noted)


def _before(ladder: Ladder, earlier: Sequence[Attempt], start: date) -> int | None:
    """The box that was ticked at the last lesson, as far as is known: by the log, or by its day."""
    if found := reached(earlier):
        boxes = [mark for mark in ladder.marks if mark * ladder.beat_unit <= found[1]]
    else:
        days = zip(ladder.marks, ladder.days, strict=False)
        boxes = [mark for mark, day in days if day and day <= start]
    return max(boxes, default=None)


def _done(story: Story, mark: PassageMark, diary: Diary, lesson: date | None) -> Story:
    """A passage that is done: the mark is the teacher's last word, else the log's."""
    clean = [
        (each.day, each.what.mark * each.what.beat, each.what.mark)
        for each in diary.practised
        if isinstance(each.what, Practised) and each.what.is_reached
        if each.what.target == mark.id or each.what.target.startswith(f"{mark.id}.as-written")
        if each.what.mark and each.what.beat
    ]
    day, _, reached = max(clean, default=(None, None, None))
    if mark.tempo.reached:
        reached = round(mark.tempo.reached.value)
    done_on = diary.done_since(mark.id) or value_of(mark.tempo.reached_on) or day or lesson
    return replace(story, done=True, done_on=done_on, reached=reached)


def advice(story: Story, passage: Passage) -> Remark:
    """What to try instead of what is stuck: the next family of its kind, or a lower start."""
    from engrave.drills import REMEDIES

    given = {each.drill.family for each in story.drills}
    stuck = {each.drill.family for each in story.stuck}
    for tried in (stuck, given):
        meant = [each for each in REMEDIES if any(family.name in tried for family in each)]
        if meant:
            break
    for families in meant:
        last = max((n for n, family in enumerate(families) if family.name in stuck), default=-1)
        for family in families[last + 1 :]:
            if family.name not in given and (family.need(passage) or family.steps_in(passage)):
                return Remark.of(f"news.try.{family.name}")
    first = min(each.drill.ladder.marks[0] for each in story.stuck)
    lower = [mark for mark in SCALE if mark < first][-2:]
    if lower:
        return Remark.of("news.try-lower", mark=lower[0])
    return Remark.of("news.try-less")


def curves(checked: Checked) -> list[Curve]:
    """Every passage's marks over the days."""
    told = [curve(each.passage, each.drills, checked.diary) for each in checked.passages]
    return sorted(told, key=lambda each: each.number)


def curve(passage: Passage, drills: Sequence[Drill], diary: Diary) -> Curve:
    """One passage's marks over the days, each as a share of its drill's goal."""
    points = {
        Point(
            attempt.day,
            attempt.mark / (each.ladder.marks[-1] * each.ladder.beat_unit),
            attempt.is_clean,
            each.is_as_written,
        )
        for each in drills
        for attempt in (*diary.of(*targets_of(each)), *_noted(each.ladder))
        if attempt.mark is not None
    }
    ladder = drills[0].ladder
    return Curve(
        passage.number,
        passage.measures,
        ladder.marks[-1],
        tuple(
            sorted(points, key=lambda point: (point.day, point.share, point.is_clean, point.whole))
        ),
    )


def _noted(ladder: Ladder) -> Iterator[Attempt]:
    """What the teacher says was reached."""
    if ladder.noted:
        mark, day = ladder.noted
        yield Attempt(day, mark * ladder.beat_unit, is_clean=True)


def drill_name(each: DrillStory, story: Story) -> Remark:
    """``3.2 short–long``: as the booklet calls a drill; the passage as written by its measures."""
    if not each.number:
        return passage_name(story)
    called = each.drill.family, each.drill.called
    return Remark.of("news.drill", number=f"{story.number}.{each.number}", drill=called)


def family_name(first: DrillStory, last: DrillStory, story: Story) -> Remark:
    """``3 Rhythms, 3.1 to 3.5``: drills of one family that stand next to each other."""
    return Remark.of(
        "news.family",
        number=story.number,
        first=f"{story.number}.{first.number}",
        last=f"{story.number}.{last.number}",
        family=first.drill.family,
    )


def passage_name(story: Story) -> Remark:
    """``3 Measures 46–48``: as the booklet calls a passage."""
    return Remark.of("news.passage", number=story.number, where=heading(story.measures))
