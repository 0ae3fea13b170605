"""What of a log counts, and which of two words holds."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.log import Adoption, Entry, Keys, Lesson, Practised, Withdrawal, keys_of
from engrave.log.model import What
from engrave.log.progress import Attempt, diary, first_day_at, reached
from engrave.marks.model import DrillRequest, MarkedTempo, PassageMark, Placed
from engrave.music.drill import Ladder
from engrave.pipeline.progress import _filled, _Told
from tests.log.entries import ENTRIES, PIECE, STUDENT, id_of

KEYS = Keys(PIECE, STUDENT)
LADDER = Ladder(Fraction(1), (60, 66, 72, 80))


def on(day: int) -> date:
    return date(2027, 2, day)


def entry(number: int, day: int, what: What, piece: str = PIECE) -> Entry:
    return Entry(id_of(number), on(day), piece, STUDENT, what)


def clean(mark: int, beat: Fraction = Fraction(1), times: int = 3) -> Practised:
    return Practised("run", False, mark, beat, times)


def attempts(*told: tuple[int, int, int]) -> list[Attempt]:
    return [Attempt.of(on(day), clean(mark, times=times)) for day, mark, times in told]


def test_a_withdrawn_entry_counts_no_more_whichever_came_first() -> None:
    entries = [entry(1, 5, clean(66)), entry(2, 4, Withdrawal(id_of(1))), entry(3, 6, clean(60))]
    for order in (entries, entries[::-1]):
        assert [each.id for each in diary(order, KEYS).practised] == [id_of(3)]


def test_another_piece_counts_only_when_its_key_is_adopted() -> None:
    other = "0123456789abcdef"
    entries = [entry(1, 5, clean(66), other), entry(2, 5, clean(60))]
    assert [each.id for each in diary(entries, KEYS).practised] == [id_of(2)]
    assert [each.id for each in diary(entries, KEYS).others] == [id_of(1)]
    assert len(diary([*entries, entry(3, 1, Adoption(other))], KEYS).practised) == 2


def test_what_is_later_than_the_lesson_is_left_out() -> None:
    found = diary([entry(1, 5, clean(66)), entry(2, 9, clean(72))], KEYS, on(5))
    assert [each.id for each in found.practised] == [id_of(1)]
    assert [each.id for each in found.later] == [id_of(2)]


def test_what_stands_twice_is_one_entry_and_an_id_of_two_is_told() -> None:
    """Two files taken together hold the same entry; two that differ have no right to one id."""
    same, other = entry(1, 5, clean(66)), entry(1, 5, clean(72))
    assert diary([same, entry(1, 5, clean(66)), entry(2, 5, clean(60))], KEYS).twice == frozenset()
    found = diary([same, other, entry(2, 5, clean(60))], KEYS)
    assert found.twice == {id_of(1)}
    assert len(found.practised) == 2


def test_a_lesson_on_the_day_and_after_it() -> None:
    lessons = [entry(1, 6, Lesson(("run",))), entry(2, 13, Lesson(("run",)))]
    found = diary(lessons, KEYS, on(12))
    assert [each.id for each in found.lessons] == [id_of(1)]
    assert [each.id for each in found.later] == [id_of(2)]
    assert diary(lessons, KEYS).later == ()


def test_a_passage_that_is_taken_up_again_is_not_done() -> None:
    lessons = [
        entry(1, 6, Lesson(("run",), ("run",))),
        entry(2, 13, Lesson(("run",))),
        entry(3, 20, Lesson(("run",), ("run",))),
    ]
    assert diary(lessons[:2], KEYS).done_since("run") is None
    assert diary(lessons, KEYS).done_since("run") == on(20)


def test_a_log_tells_what_was_done_on_several_drills() -> None:
    drill = Practised("run.rhythms.long-short", True, 66, Fraction(1), 3)
    assert drill.passage == "run"
    found = diary([entry(1, 5, clean(60)), entry(2, 6, drill), entry(3, 7, Lesson(("run",)))], KEYS)
    assert [each.day for each in found.of("run", drill.target)] == [on(5), on(6)]
    assert [each.day for each in found.of("run")] == [on(5)]


@pytest.mark.parametrize(("times", "is_reached"), [(2, False), (3, True), (4, True)])
def test_three_times_clean_is_a_mark_reached(times: int, is_reached: bool) -> None:
    """The booklet's rule."""
    assert clean(66, times=times).is_reached is is_reached
    assert not Practised("run", False, clean=times).is_reached


@given(st.lists(ENTRIES, max_size=8), st.randoms())
def test_the_order_of_entries_makes_no_difference(entries: list[Entry], chance: object) -> None:
    shuffled = list(entries)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = diary(entries, KEYS), diary(shuffled, KEYS)
    assert (one.practised, one.lessons, one.twice) == (other.practised, other.lessons, other.twice)


def test_the_last_lesson_and_since_when_a_passage_is_done() -> None:
    entries = [
        entry(1, 6, Lesson(("run",))),
        entry(2, 13, Lesson(("run", "leaps"), ("run",))),
        entry(3, 20, Lesson(("run", "leaps"), ("run",))),
    ]
    found = diary(entries, KEYS)
    assert found.lesson_before(on(20)) == (on(13), Lesson(("run", "leaps"), ("run",)))
    assert found.lesson_before(on(6)) is None
    assert found.done_since("run") == on(13)
    assert found.done_since("leaps") is None


def test_the_later_day_holds_and_on_one_day_the_higher() -> None:
    assert reached(attempts((5, 66, 3), (5, 72, 3), (4, 80, 3))) == (on(5), 72)
    assert reached(attempts((5, 66, 2))) is None
    assert first_day_at(attempts((5, 66, 3), (3, 72, 3), (2, 60, 3)), Fraction(66)) == on(3)


@pytest.mark.parametrize(
    ("told", "by_log", "box"),
    [
        (None, (), None),
        (None, ((5, 66, 3),), 66),
        (None, ((5, 70, 3),), 66),
        (None, ((5, 50, 3),), None),
        (on(5), ((6, 60, 3),), 60),  # the log's is later, though lower
        (on(6), ((6, 80, 3),), 72),  # of one day, the teacher's
        (on(7), ((6, 80, 3),), 72),
        (on(5), ((6, 80, 1),), 72),  # a try is no mark
    ],
)
def test_the_teachers_word_and_the_logs(
    told: date | None, by_log: tuple[tuple[int, int, int], ...], box: int | None
) -> None:
    ladder = Ladder(LADDER.beat_unit, LADDER.marks, 72 if told else None)
    filled = _filled(ladder, attempts(*by_log), _Told(told is not None, told))
    assert filled.reached == box
    for mark, day in zip(filled.marks, filled.days or [None] * 4, strict=True):
        assert day is None or mark <= (box or 0)


def test_boxes_bear_the_first_day_of_their_mark_or_a_higher_one() -> None:
    filled = _filled(LADDER, attempts((3, 60, 3), (5, 72, 3), (6, 72, 3)), _Told(False, None))
    assert filled.days == (on(3), on(5), on(5), None)


def test_marks_in_another_beat_are_the_same_speed() -> None:
    """Dotted quarter = 60 is 90 quarters a minute (MusicXML 4.0, ``sound/@tempo``)."""
    assert Attempt.of(on(1), clean(60, Fraction(3, 2))).mark == 90


def test_keys_name_nobody_and_hold_what_capitals_and_spaces_change() -> None:
    keys = keys_of("Lantern Rondo", "Orla Windhaber", None, "Nell Averdine")
    assert keys == keys_of(" lantern  rondo", "orla windhaber", None, "NELL AVERDINE")
    assert keys != keys_of("Lantern Rondo", "Orla Windhaber", 2, "Nell Averdine")
    assert keys.student != keys_of("Lantern Rondo", "Orla Windhaber", None, "Nell").student


def test_keys_stay_what_they_were_in_logs_that_are_kept() -> None:
    """SHA-256, by coreutils: ``printf 'piece\\nlantern rondo\\n…\\n' | sha256sum``, 16 digits."""
    keys = keys_of("Lantern Rondo", "Orla Windhaber", None, "Nell Averdine")
    assert keys == Keys("480b2269ea1084c9", "e58c17b6572b718f")
    assert keys_of("Lantern Rondo", "Orla Windhaber", 2, "").piece == "3d3812de873a1c1b"


def test_a_teachers_day_is_the_passages_the_familys_or_the_lessons() -> None:
    from engrave.marks.options import Options
    from engrave.marks.reached import Reached
    from engrave.pipeline.progress import _teachers_day
    from tests.booklet.samples import drill

    where = Placed(Fraction(66), None)  # type: ignore[arg-type]
    day = Placed(on(3), None)  # type: ignore[arg-type]
    each, whole = drill("run", "rhythms", "long-short"), drill("run", "as-written", "whole")
    plain = PassageMark("run", None, None)  # type: ignore[arg-type]
    assert not _teachers_day(whole, plain, on(9)).is_told
    mark = PassageMark("run", None, None, tempo=MarkedTempo(reached=where, reached_on=day))  # type: ignore[arg-type]
    assert _teachers_day(whole, mark, on(9)).day == on(3)
    assert not _teachers_day(each, mark, on(9)).is_told
    request = DrillRequest("rhythms", Options(reached=Reached(where)))
    own = PassageMark("run", None, None, tempo=mark.tempo, drills=(request,))  # type: ignore[arg-type]
    assert _teachers_day(each, own, on(9)).day == on(9)
