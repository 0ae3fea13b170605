"""What a booklet says of the time before it, on the demo and its two weeks of a log."""

import re
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.booklet import Due, Progress
from engrave.log.picture import Point
from engrave.machine.cache import Cache
from engrave.pipeline.checking import check
from engrave.pipeline.telling import progress_of
from engrave.words import say
from tests.pipeline.demo import SCORES, edit, lay_out


@pytest.fixture
def marks(tmp_path: Path) -> Path:
    return lay_out(tmp_path)


def told(marks: Path) -> Progress:
    return progress_of(check(marks, cache=Cache(marks.parent / "cache")))


def without(log: Path, key: str) -> None:
    lines = log.read_text("utf-8").splitlines(keepends=True)
    log.write_text("".join(line for line in lines if f"{key}: " not in line), "utf-8")


def test_the_second_week_of_the_demo(marks: Path) -> None:
    progress = told(marks)
    news = progress.news
    assert news is not None
    assert news.since == date(2027, 2, 13)
    assert "1 Measures 46–48 (beat 1): from 52 to 60" in [say(each) for each in news.moved]
    (stuck,) = map(say, news.stuck)
    assert stuck.startswith("2.1 ")
    assert "in 3 days of trying. Instead, take it beat by beat" in stuck
    assert [say(each) for each in news.new] == ["4 Measures 91–92 (beat 1)"]
    needs = {item.passage: item.need for item in progress.items}
    assert needs == {
        "1": Due.STEADY,
        "2": Due.OFTEN,
        "3": Due.STEADY,
        "4": Due.OFTEN,
    }
    assert progress.items[1].drills[0] == "2.1"


def test_what_the_teacher_notes_for_a_family_has_moved(marks: Path) -> None:
    """No drill of it is in the log; those that were ticked alike are one line."""
    edit(marks, "drills: [blocks]", "drills: [blocks, rhythms: {reached: 56}]")
    news = told(marks).news
    assert news is not None
    assert "2 Rhythms, 2.3 to 2.6: 56 for the first time" in [say(each) for each in news.moved]
    said = [say(each, "de") for each in news.moved]
    assert "2 Rhythmen, 2.3 bis 2.6: zum ersten Mal 56" in said
    edit(marks, "{reached: 56}", "{reached: {mark: 56, day: 2027-02-13}}")
    news = told(marks).news
    assert news is not None
    assert not any("2.3" in say(each) for each in news.moved)


def test_what_the_teacher_notes_is_news_where_the_log_is_empty(marks: Path) -> None:
    marks.with_name("nell.log.yaml").write_text("log: 1\nentries: []\n", "utf-8")
    edit(marks, "drills: [blocks]", "drills: [blocks, rhythms: {reached: 56}]")
    news = told(marks).news
    assert news is not None
    assert not news.is_silent
    assert [say(each) for each in news.moved] == ["2 Rhythms, 2.3 to 2.6: 56 for the first time"]


def test_what_the_teacher_notes_is_a_dot_of_the_curve(marks: Path) -> None:
    """The demo's third passage: 44 on the day of the lesson before, of a goal of 60."""
    (curve,) = (each for each in told(marks).curves if each.number == 3)
    mine = [each for each in curve.points if each.whole]
    assert mine == [Point(date(2027, 2, 13), Fraction(44, 60), is_clean=True, whole=True)]
    edit(marks, "drills: [blocks]", "drills: [blocks, rhythms: {reached: 56}]")
    (curve,) = (each for each in told(marks).curves if each.number == 2)
    new = {each for each in curve.points if each.day == date(2027, 2, 20)}
    assert new
    assert all(each.is_clean and not each.whole for each in new)


def test_a_passage_of_the_last_lesson_that_was_left_is_named(marks: Path) -> None:
    log = marks.with_name("nell.log.yaml")
    lines = log.read_text("utf-8").splitlines(keepends=True)
    since = [line for line in lines if re.search(r"day: 2027-02-1[4-9]", line)]
    left = [line for line in lines if line not in since or "black-key-leaps" not in line]
    log.write_text("".join(left), "utf-8")
    news = told(marks).news
    assert news is not None
    assert not news.is_silent
    assert say(news.stuck[-1]) == "3 Measures 70–71: nothing is noted of it."
    edit(marks, "reached: {mark: 44, day: 2027-02-13}", "reached: {mark: 48, day: 2027-02-18}")
    news = told(marks).news
    assert news is not None
    assert len(news.stuck) == 1
    log.write_text("".join(line for line in lines if line not in since), "utf-8")
    edit(marks, ", reached: {mark: 48, day: 2027-02-18}", "")
    news = told(marks).news
    assert news is not None
    assert news.is_silent
    assert not news.stuck


def test_in_german_the_same(marks: Path) -> None:
    news = told(marks).news
    assert news is not None
    assert [say(each, "de") for each in news.new] == ["4 Takte 91–92 (Zählzeit 1)"]
    assert "Geh stattdessen Schlag für Schlag vor" in say(news.stuck[0], "de")


def test_without_a_lesson_noted_the_news_are_of_a_week(marks: Path) -> None:
    without(marks.with_name("nell.log.yaml"), "lesson")
    news = told(marks).news
    assert news is not None
    assert news.since is None
    assert news.new == ()


def test_without_a_lesson_or_anything_practised_there_are_none(marks: Path) -> None:
    edit(marks, "lesson: 2027-02-20", "# lesson: 2027-02-20")
    assert told(marks).news is None
    edit(marks, "# lesson: 2027-02-20", "lesson: 2027-02-20")
    marks.with_name("nell.log.yaml").unlink()
    assert told(marks).news is None


def test_the_second_student_keeps_what_is_done(tmp_path: Path) -> None:
    marks = lay_out(tmp_path).with_name("tam.yaml")
    marks.write_text((SCORES / "tam.yaml").read_text("utf-8"), "utf-8")
    progress = told(marks)
    said = ["1 Measures 39–40: done on 13 February 2027, at 88"]
    assert [say(each) for each in progress.done] == said
    assert [item.need for item in progress.items] == [
        Due.DONE,
        Due.STEADY,
        Due.STEADY,
    ]
