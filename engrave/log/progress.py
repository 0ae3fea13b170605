"""How far the student has come, as the log tells it, up to the day of a lesson.

Enters: entries, keys, a day. Leaves: a ``Diary``: what counts, by drill, and the lessons. Marks are
compared in quarters a minute, whatever beat they were counted in. Knows no score and no ladder.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from engrave.log.keys import Keys
from engrave.log.model import Adoption, Entry, Lesson, Practised, Withdrawal


@dataclass(frozen=True, slots=True)
class Diary:
    """What counts of a log for one piece, one student and the time up to a day.

    ``practised`` in the order of days; ``later`` are entries after that day, ``others`` those of
    another piece or student; ``twice`` are ids that stand for entries that differ.
    """

    practised: tuple[Entry, ...] = ()
    lessons: tuple[Entry, ...] = ()
    later: tuple[Entry, ...] = ()
    others: tuple[Entry, ...] = ()
    twice: frozenset[str] = field(default_factory=frozenset)

    def of(self, *targets: str) -> tuple["Attempt", ...]:
        """What was done on the drills or passages of these ids, in the order of days."""
        return tuple(
            Attempt.of(each.day, each.what)
            for each in self.practised
            if isinstance(each.what, Practised) and each.what.target in targets
        )

    def lesson_before(self, day: date) -> tuple[date, Lesson] | None:
        """The last lesson before ``day``, if one is noted."""
        before = [each for each in self.lessons if each.day < day]
        if not before:
            return None
        last = before[-1]
        assert isinstance(last.what, Lesson)
        return last.day, last.what

    def done_since(self, passage: str) -> date | None:
        """The first of the lessons from which on a passage has been among those done."""
        since = None
        for each in self.lessons:
            assert isinstance(each.what, Lesson)
            if passage not in each.what.done:
                since = None
            elif since is None:
                since = each.day
        return since


@dataclass(frozen=True, slots=True)
class Attempt:
    """One entry: the day, the mark in quarters a minute (None: none), whether it was reached."""

    day: date
    mark: Fraction | None
    is_clean: bool

    @classmethod
    def of(cls, day: date, what: Practised) -> "Attempt":
        """What an entry says of a mark."""
        mark = what.mark * what.beat if what.mark is not None and what.beat else None
        return cls(day, mark, what.is_reached)


def diary(entries: Iterable[Entry], keys: Keys, until: date | None = None) -> Diary:
    """What counts: not withdrawn, of these ``keys`` or those they adopted, up to ``until``."""
    known = dict.fromkeys(entries)
    ours = [each for each in known if (each.piece, each.student) == (keys.piece, keys.student)]
    adopted = {each.what.key for each in ours if isinstance(each.what, Adoption)}
    pieces, students = {keys.piece, *adopted}, {keys.student, *adopted}
    mine = [each for each in known if each.piece in pieces and each.student in students]
    counting = frozenset(mine)
    withdrawn = {each.what.entry for each in mine if isinstance(each.what, Withdrawal)}
    counted: dict[str, Entry] = {}
    twice = set()
    for each in sorted(mine, key=lambda each: (each.day, each.id, repr(each.what))):
        if each.id in withdrawn or isinstance(each.what, Withdrawal | Adoption):
            continue
        if counted.setdefault(each.id, each) is not each:
            twice.add(each.id)
    now = [each for each in counted.values() if until is None or each.day <= until]
    return Diary(
        practised=tuple(each for each in now if isinstance(each.what, Practised)),
        lessons=tuple(each for each in now if isinstance(each.what, Lesson)),
        later=tuple(each for each in counted.values() if until is not None and each.day > until),
        others=tuple(each for each in known if each not in counting),
        twice=frozenset(twice),
    )


def reached(attempts: Iterable[Attempt]) -> tuple[date, Fraction] | None:
    """The last day with a clean mark, and the highest of that day."""
    clean = [(each.day, each.mark) for each in attempts if each.is_clean and each.mark is not None]
    return max(clean, default=None)


def first_day_at(attempts: Iterable[Attempt], mark: Fraction) -> date | None:
    """The first day on which ``mark`` or a higher one was clean."""
    days = (e.day for e in attempts if e.is_clean and e.mark is not None and e.mark >= mark)
    return min(days, default=None)
