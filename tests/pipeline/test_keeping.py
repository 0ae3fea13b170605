"""Builds with and without the cache are the same; what did not change is not made anew."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

import pytest

from engrave.engraver import Picture
from engrave.errors import Mistakes
from engrave.machine.cache import NO_CACHE, Cache
from engrave.pipeline.checking import Checked, check
from engrave.pipeline.drawing import notation, pictures_of
from engrave.pipeline.stages import build
from engrave.pipeline.styling import Job, page_style_of
from engrave.score.second_reading import opinion
from tests.pipeline.demo import edit, files_of, lay_out
from tests.works import WORKS, Work

T = TypeVar("T")


class Counting(Cache):
    """A cache that notes what it had to have made."""

    def __init__(self, folder: Path | None) -> None:
        super().__init__(folder)
        self.made_anew: list[object] = []

    def made(
        self, key: str, make: Callable[[], T], is_lasting: Callable[[T], bool] = lambda _: True
    ) -> T:
        def noted() -> T:
            value = make()
            self.made_anew.append(value)
            return value

        return super().made(key, noted, is_lasting)


@pytest.fixture
def marks(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "scores")


@dataclass(frozen=True)
class Made:
    """What a build makes before its pages, and what of it had to be made anew."""

    anew: list[str]
    files: Mapping[str, bytes]
    pictures: dict[str, tuple[Picture, ...]]
    checked: Checked


def make(marks: Path, folder: Path | None) -> Made:
    cache = Counting(folder)
    checked = check(marks, cache=cache)
    files = notation(checked, cache)
    style = page_style_of(checked.marks, Job(), "student")
    pictures = pictures_of(checked.drills, checked.marks, style, cache)
    anew = sorted(type(value).__name__ for value in cache.made_anew)
    return Made(anew, files, pictures, checked)


def same(one: Made, other: Made) -> bool:
    return ({**one.files}, one.pictures, one.checked) == (
        {**other.files}, other.pictures, other.checked
    )  # fmt: skip


def test_the_bytes_do_not_depend_on_the_cache(marks: Path, tmp_path: Path) -> None:
    cache = tmp_path / "cache"
    build(marks, tmp_path / "without", cache=NO_CACHE)
    build(marks, tmp_path / "first", cache=Cache(cache))
    build(marks, tmp_path / "again", cache=Cache(cache))
    without = files_of(tmp_path / "without")
    assert len(without) > 50
    assert files_of(tmp_path / "first") == without
    assert files_of(tmp_path / "again") == without


@pytest.mark.parametrize("work", WORKS, ids=lambda work: work.name)
def test_checks_do_not_depend_on_the_cache(work: Work, tmp_path: Path) -> None:
    if not work.score.exists():
        pytest.skip(f"{work.score.name} is not beside this checkout")
    marks = work.write(tmp_path / "scores")
    without = check(marks)
    assert check(marks, cache=Cache(tmp_path / "cache")) == without
    again = Counting(tmp_path / "cache")
    assert check(marks, cache=again) == without
    assert again.made_anew == []


def test_after_a_change_of_words_nothing_is_made_anew(marks: Path, tmp_path: Path) -> None:
    make(marks, tmp_path / "cache")
    edit(marks, "as level as a tray", "as still as a\n      tray")
    edit(marks, "# 2. Broken", "#\n  # 2. Broken")
    edit(marks, "teacher: Tobias Quern", "teacher: Somebody Else")
    edit(marks, "minutes_a_day: 30", "minutes_a_day: 40")
    found = make(marks, tmp_path / "cache")
    assert found.anew == []
    assert same(found, make(marks, None))


def test_after_a_change_of_fingers_one_passage_is_made_anew(marks: Path, tmp_path: Path) -> None:
    make(marks, tmp_path / "cache")
    edit(marks, '"48.1": "4"', '"48.1": "5"')
    found = make(marks, tmp_path / "cache")
    drills = found.checked.passages[0].drills
    assert found.anew == ["Drilled", *["Engraving"] * len(drills), "dict"]
    assert same(found, make(marks, None))


def test_after_a_change_of_tempo_nothing_is_engraved_anew(marks: Path, tmp_path: Path) -> None:
    make(marks, tmp_path / "cache")
    edit(marks, "tempo: {start: 48}                 #", "tempo: {start: 48, reached: 66} #")
    found = make(marks, tmp_path / "cache")
    assert found.anew == ["Drilled"]
    assert same(found, make(marks, None))


def test_a_mistake_has_its_own_place_however_often_it_is_made(marks: Path, tmp_path: Path) -> None:
    cache = Cache(tmp_path / "cache")
    check(marks, cache=cache)
    edit(marks, "measures: 39-40", "measures: 39-400")
    edit(marks, "# 1. A run.", "#\n  # 1. A run.")
    places = []
    for _ in range(2):
        with pytest.raises(Mistakes) as mistakes:
            check(marks, cache=cache)
        places.append([str(error) for error in mistakes.value.errors])
    line = marks.read_text("utf-8").splitlines().index("    measures: 39-400") + 1
    assert places[0] == places[1]
    assert places[0][0].startswith(f"{marks}:{line}:")


def test_a_score_that_changes_is_read_anew(marks: Path, tmp_path: Path) -> None:
    cache = Counting(tmp_path / "cache")
    check(marks, cache=cache)
    before = len(cache.made_anew)
    with marks.with_suffix(".musicxml").open("a") as score:
        score.write("<!-- another file -->\n")
    after = check(marks, cache=cache)
    assert len(cache.made_anew) == before + 5
    assert after == check(marks)


def test_marks_under_another_name_find_what_was_kept(marks: Path, tmp_path: Path) -> None:
    make(marks, tmp_path / "cache")
    other = make(marks.rename(marks.with_name("other.yaml")), tmp_path / "cache")
    assert other.anew == []


def test_a_second_reading_that_was_stopped_is_not_kept(
    marks: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next build asks again: it is told of differences that the first could not know."""
    cache = Cache(tmp_path / "cache")
    monkeypatch.setattr(opinion, "PATIENCE_SECONDS", 0)
    stopped = "the second reader was stopped before it had checked the notes of this file"
    assert stopped in [notice.message for notice in check(marks, cache=cache).notices]
    monkeypatch.setattr(opinion, "PATIENCE_SECONDS", 20)
    assert stopped not in [notice.message for notice in check(marks, cache=cache).notices]
