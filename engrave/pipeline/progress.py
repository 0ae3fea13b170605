"""The log and the drills together: which boxes are ticked and since when, and what is odd.

Enters: checked marks with their drills, the log beside them. Leaves: the drills with their ladders
filled in, and notices. The teacher's word and the log's are weighed by their days: the later holds;
on one day the teacher's.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from engrave.errors import Notice, Source, counted
from engrave.log import Keys, Practised, keys_of, own_log
from engrave.log.progress import Attempt, Diary, diary, first_day_at, reached
from engrave.log.reading import LogText
from engrave.marks import Marks, PassageMark
from engrave.marks.placed import value_of
from engrave.music.drill import Drill, Ladder
from engrave.pipeline.drilling import Drilled
from engrave.score import Score


@dataclass(frozen=True, slots=True)
class Recorded:
    """The log as it was read, and what of it counts for this booklet."""

    log: LogText
    diary: Diary


def keys_for(marks: Marks, score: Score) -> Keys:
    """By which piece and student the log knows the booklet of ``marks``."""
    piece = marks.piece
    return keys_of(
        piece.title or score.title,
        piece.composer or score.composer,
        piece.movement,
        marks.student.name,
    )


def recorded(marks: Marks, score: Score) -> Recorded | None:
    """The log of ``marks``, None where they name none; raises ``Mistakes`` with all of its own."""
    if marks.log is None:
        return None
    log = own_log(marks.log.value)
    return Recorded(log, diary(log.entries, keys_for(marks, score), value_of(marks.lesson)))


def with_progress(passages: Sequence[Drilled], marks: Marks, diary: Diary) -> tuple[Drilled, ...]:
    """The passages, their ladders ticked and dated as the log and the teacher say."""
    by_id = {mark.id: mark for mark in marks.passages}
    lesson = value_of(marks.lesson)
    return tuple(
        replace(
            drilled,
            drills=tuple(
                _with_ladder(each, by_id[drilled.passage.id], diary, lesson)
                for each in drilled.drills
            ),
        )
        for drilled in passages
    )


def _with_ladder(each: Drill, mark: PassageMark, diary: Diary, lesson: date | None) -> Drill:
    told = _teachers_day(each, mark, lesson)
    attempts = diary.of(*targets_of(each))
    return replace(each, ladder=_filled(each.ladder, attempts, told))


def targets_of(each: Drill) -> tuple[str, ...]:
    """By which ids a drill stands in the log: the passage as written by the passage's, too."""
    return (each.id, each.passage) if each.is_as_written else (each.id,)


@dataclass(frozen=True, slots=True)
class _Told:
    """Whether the teacher says of a mark that it was reached, and of which day."""

    is_told: bool
    day: date | None


def _teachers_day(each: Drill, mark: PassageMark, lesson: date | None) -> _Told:
    request = next((r for r in mark.drills or () if r.family == each.family), None)
    own = request.options.reached if request else None
    if own:
        return _Told(True, value_of(own.day) or lesson)
    if not each.is_as_written:
        return _Told(False, None)
    return _Told(mark.tempo.reached is not None, value_of(mark.tempo.reached_on) or lesson)


def _filled(ladder: Ladder, attempts: Sequence[Attempt], told: _Told) -> Ladder:
    by_log = reached(attempts)
    top = ladder.reached
    if by_log and not (told.is_told and told.day is not None and told.day >= by_log[0]):
        top = _box(ladder, by_log[1])
    days = []
    for mark in ladder.marks:
        ticked = top is not None and mark <= top
        first = first_day_at(attempts, mark * ladder.beat_unit) if ticked else None
        if first is None and told.is_told and mark == ladder.reached == top:
            first = told.day  # of the boxes below only the log knows
        days.append(first)
    noted = (ladder.reached, told.day) if told.is_told and ladder.reached and told.day else None
    return replace(ladder, reached=top, days=tuple(days) if any(days) else (), noted=noted)


def _box(ladder: Ladder, quarters: Fraction) -> int | None:
    """The highest box at or below a mark in quarters a minute."""
    fitting = [mark for mark in ladder.marks if mark * ladder.beat_unit <= quarters]
    return max(fitting, default=None)


def notices_of(marks: Marks, record: Recorded, passages: Sequence[Drilled]) -> Iterator[Notice]:
    """What the teacher should know of the log: what is odd in it, at its line."""
    assert marks.log is not None
    if not marks.log.value.exists():
        yield Notice(f"there is no {marks.log.value.name} yet", marks.log.source)
        return
    places = {each.entry: each.source for each in record.log.lines}
    told = record.diary
    if told.later and marks.lesson:
        message = (
            f"{counted(len(told.later), 'entry', 'entries')} of days after the lesson, "
            f"{marks.lesson.value}, left out"
        )
        yield Notice(message, places[told.later[0]])
    if told.others:
        message = (
            f"{counted(len(told.others), 'entry', 'entries')} of another piece or student, "
            "left out; engrave log with this log as FILE and --others counts them in"
        )
        yield Notice(message, places[told.others[0]])
    for each in record.log.lines:
        if each.entry.id in told.twice:
            yield Notice(f"the id {each.entry.id} stands for entries that differ", each.source)
    yield from _unknown(marks, record, passages)
    yield from _off_the_ladder(record, passages)


def _unknown(marks: Marks, record: Recorded, passages: Sequence[Drilled]) -> Iterator[Notice]:
    """Entries for what is no longer in the marks: kept, and told once an id."""
    ids = {mark.id for mark in marks.passages}
    drills = {each.id for drilled in passages for each in drilled.drills}
    done = {mark.id for mark in marks.passages if mark.status == "done"}
    told: set[str] = set()
    for source, what in _counting(record):
        known = what.target in drills if what.is_drill else what.target in ids
        if not known and what.passage not in done and what.target not in told:
            told.add(what.target)
            yield Notice(f"{what.target} is not in the marks: its entries are kept", source)


def _off_the_ladder(record: Recorded, passages: Sequence[Drilled]) -> Iterator[Notice]:
    """A mark that no box has, told at the last entry of the drill if that has one."""
    ladders = {
        target: each.ladder
        for drilled in passages
        for each in drilled.drills
        for target in targets_of(each)
    }
    last = {what.target: (source, what) for source, what in _counting(record) if what.is_reached}
    for target, (source, what) in last.items():
        ladder = ladders.get(target)
        if ladder is None or what.mark is None or what.beat is None:
            continue
        if what.mark * what.beat / ladder.beat_unit not in ladder.marks:
            marks = " ".join(map(str, ladder.marks))
            said = f"{what.mark} is no mark of {target}, which has {marks}"
            yield Notice(f"{said}: the next below counts", source)


def _counting(record: Recorded) -> Iterator[tuple[Source, Practised]]:
    """The lines of the log that count, by day."""
    places = {line.entry: line.source for line in record.log.lines}
    for entry in record.diary.practised:
        if isinstance(entry.what, Practised):
            yield places[entry], entry.what
