"""A marks file and its score become drills, and everything that is wrong is told.

Enters: a marks file's path. Leaves: ``Read``, then ``Checked``. All mistakes are raised together as
``Mistakes``. Knows neither paper nor language.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import partial
from pathlib import Path

from engrave.errors import EngraveError, Mistakes, Notice, Together
from engrave.hands import Handover, divide, in_bars
from engrave.log import Lesson
from engrave.log.progress import Diary
from engrave.machine.cache import NO_CACHE, Cache
from engrave.machine.shared import Shared
from engrave.marks import Marks, MarksMistakes, PassageMark
from engrave.music.drill import Drill
from engrave.pipeline import keeping
from engrave.pipeline.drilling import Drilled
from engrave.pipeline.flawed import sure
from engrave.pipeline.goals import tempos_told
from engrave.pipeline.means import Means, Tell, silent
from engrave.pipeline.progress import Recorded, notices_of, recorded, with_progress
from engrave.pipeline.reading import read_checked_marks
from engrave.score import Score
from engrave.score.second_reading.opinion import Difference, refusal, touched
from engrave.score.titles import title_of_file

MOST_ONSETS = 200_000
"""Of one booklet: some ten minutes' work."""
AT_A_TIME = 64
"""Passages that are drilled before their onsets are counted."""


@dataclass(frozen=True, slots=True)
class Read:
    """A marks file and its score, divided between the hands, and where two readers of it differ.

    ``handovers`` are notes that go to another hand than their staff's, ``mistakes`` what is wrong
    with the marks for hands.
    """

    marks: Marks
    score: Score
    differences: tuple[Difference, ...]
    handovers: tuple[Handover, ...] = ()
    mistakes: tuple[EngraveError, ...] = ()


@dataclass(frozen=True, slots=True)
class Checked:
    """A marks file that can be built: its score, the drills it makes, the log it names.

    ``made`` says what was made of it, once it is.
    """

    marks: Marks
    score: Score
    passages: tuple[Drilled, ...]
    notices: tuple[Notice, ...] = field(default=())
    handovers: tuple[Handover, ...] = ()
    recorded: Recorded | None = None
    made: str = ""

    @property
    def handovers_in_passages(self) -> tuple[Handover, ...]:
        """Those of the notes in ``handovers`` that stand in measures of a passage."""
        from engrave.score import locate

        bars = {
            bar
            for mark in self.marks.passages
            for start, end in [locate(self.score, mark.measures.value)]
            for bar in range(start.bar, end.bar + 1)
        }
        return in_bars(self.handovers, bars, self.score.sheet)

    @property
    def drills(self) -> tuple[Drill, ...]:
        """All drills, in the order of the booklet."""
        return tuple(each for drilled in self.passages for each in drilled.drills)

    @property
    def drill_count(self) -> int:
        """How many drills a teacher would count: the passages as written are none."""
        return sum(len(each.numbered) for each in self.passages)

    @property
    def diary(self) -> Diary:
        """What counts of the log; nothing where the marks name none."""
        return self.recorded.diary if self.recorded else Diary()

    @property
    def lesson_before(self) -> tuple[date, Lesson] | None:
        """The last lesson before the one that the booklet is for, and its day, if it was noted."""
        lesson = self.marks.lesson
        return self.diary.lesson_before(lesson.value) if lesson else None


def check(path: Path, tell: Tell = silent, cache: Cache = NO_CACHE, alone: bool = True) -> Checked:
    """Everything short of engraving; raises ``Mistakes`` with all that is wrong.

    Unless ``alone``, a copy of the process helps.
    """
    means = Means(tell, cache, alone)
    return drill(read(path, means), means)


def read(path: Path, means: Means, meanwhile: Callable[[], None] | None = None) -> Read:
    """The marks file and its score; raises ``Mistakes``.

    ``meanwhile``: what is to be done while another process reads a score that was not kept.
    """
    means.tell("marks")
    try:
        marks = read_checked_marks(path)
    except MarksMistakes as mistakes:
        raise Mistakes([*mistakes.errors, *_further(mistakes, means)]) from mistakes
    return _with_score(marks, means, meanwhile)


def _further(mistakes: MarksMistakes, means: Means) -> Iterator[EngraveError]:
    """What only the score shows to be wrong, too, at other places of the file."""
    marks = sure(mistakes.legible)
    if marks is None:
        return
    told = {each.source for each in mistakes.errors}
    try:
        drill(_with_score(marks, means), means, may_be_done=True)
    except Mistakes as more:
        yield from (each for each in more.errors if each.source not in told)


def _with_score(marks: Marks, means: Means, meanwhile: Callable[[], None] | None = None) -> Read:
    means.tell("score")
    try:
        score, differences = keeping.read_score(marks, means.cache, meanwhile)
    except EngraveError as error:
        raise Mistakes([error]) from error
    try:
        division = divide(score, marks.all_hand_marks, marks.student.stretch_mm)
    except Mistakes as mistakes:
        return Read(marks, score, differences, mistakes=mistakes.errors)
    return Read(marks, division.score, differences, division.handovers)


def drill(opened: Read, means: Means, may_be_done: bool = False) -> Checked:
    """The drills of every passage that is not done; raises ``Mistakes``.

    ``may_be_done``: all of them may, as nothing is to be printed.
    """
    means.tell("drills")
    marks, score = opened.marks, opened.score
    told, record = Together(), None
    with told:
        if opened.mistakes:
            raise Mistakes(opened.mistakes)
    passages = _without_mistakes(opened, told, means)
    with told:
        record = recorded(marks, score)
    told.raise_all()
    if not passages and not may_be_done:
        raise Mistakes([_all_done(marks)])
    notices = (
        *score.notices,
        *_untitled(marks, score),
        *tempos_told(marks, score),
        *(notice for each in passages for notice in each.notices),
        *(notices_of(marks, record, passages) if record else ()),
    )
    filled = with_progress(passages, marks, record.diary if record else Diary())
    return Checked(marks, score, filled, notices, opened.handovers, record)


def _without_mistakes(opened: Read, told: Together, means: Means) -> list[Drilled]:
    """The passages that can be printed; what is wrong with the others goes to ``told``.

    Raises all of it, once there is more to engrave than anybody waits for.
    """
    passages: list[Drilled] = []
    onsets = 0
    for mark, drilled in _drilled(opened, means):
        with told:
            if isinstance(drilled, Mistakes):
                raise drilled
            _refuse_doubtful(mark, opened.score, opened.differences)
            passages.append(drilled)
            onsets += sum(len(each.written) for each in drilled.drills)
            if onsets > MOST_ONSETS:
                raise Mistakes([_too_long(mark)])
        if onsets > MOST_ONSETS:
            told.raise_all()
    return passages


def _drilled(opened: Read, means: Means) -> Iterator[tuple[PassageMark, Drilled | Mistakes]]:
    """The passages that are not done, or what is wrong with them, so many at a time.

    Where one of them is kept most are, and nobody need help.
    """
    marks, score, cache = opened.marks, opened.score, means.cache
    wanted = [mark for mark in marks.passages if mark.status != "done"]

    def drilled(mark: PassageMark) -> Drilled | Mistakes:
        means.tell(f"drills, {mark.id}")
        try:
            return keeping.drill_passage(mark, marks, score, cache)
        except Mistakes as mistakes:
            return mistakes

    for start in range(0, len(wanted), AT_A_TIME):
        some = wanted[start : start + AT_A_TIME]
        alone = means.alone or len(some) < 2 or keeping.has_drills(some[-1], marks, score, cache)
        with Shared([partial(drilled, mark) for mark in some], alone) as since:
            yield from zip(some, since.values(), strict=True)


def _untitled(marks: Marks, score: Score) -> Iterator[Notice]:
    """A title that is the name of the score's file is printed, and told to be one."""
    title = marks.piece.title
    stem = Path(score.file).stem
    if title and title in (stem, title_of_file(stem)) and not score.title:
        place = marks.piece.title_source or marks.source
        yield Notice(f"the title {title!r} is the file's name: the score has none", place)


def _refuse_doubtful(mark: PassageMark, score: Score, differences: Sequence[Difference]) -> None:
    """No drill is made of measures in which two readers of the score find different notes."""
    if not differences:
        return
    from engrave.score import locate

    here = touched(differences, *locate(score, mark.measures.value))
    if here:
        raise Mistakes([refusal(here).at(mark.measures.source)])


def _too_long(mark: PassageMark) -> EngraveError:
    return EngraveError(
        f"with this passage the booklet has more than {MOST_ONSETS:,} onsets to engrave",
        mark.source,
        "spread the passages over several marks files",
    )


def _all_done(marks: Marks) -> EngraveError:
    return EngraveError(
        "every passage is done: there is nothing left to print",
        marks.passages[0].source,
        "mark a passage as learning or warm-up",
    )
