"""Pages of real music, engraved: how full they are, how large, and the air around the music."""

from collections.abc import Callable
from pathlib import Path

import pytest

from engrave.booklet import Place, page_style
from tests.booklet import pdf
from tests.booklet.test_pages import CLEAR_MM
from tests.checks.manifest import read_output
from tests.works import DEMO, WORKS, Built, Work

IN_CORPUS = [work for work in (DEMO, *WORKS) if not work.part]
EACH = pytest.mark.parametrize("work", IN_CORPUS, ids=[work.name for work in IN_CORPUS])

Build = Callable[[Work], Built]


def lesson_booklet(built: Built) -> Path:
    return built.folder / f"{built.marks.stem}-student.pdf"


@EACH
def test_no_page_is_near_empty_but_the_last_of_a_section(built: Build, work: Work) -> None:
    booklet = lesson_booklet(built(work)).read_bytes()
    assert pdf.near_empty(booklet, pdf.pages(booklet), page_style()) == []


@EACH
def test_the_file_is_small(built: Build, work: Work) -> None:
    booklet = lesson_booklet(built(work)).read_bytes()
    assert len(booklet) / len(pdf.texts(booklet)) < 60_000


@EACH
def test_no_word_comes_near_the_music(built: Build, work: Work) -> None:
    result = built(work)
    places = [
        Place(*place.values())
        for drill in read_output(result.folder).drills
        for place in drill.places["student"]
    ]
    assert pdf.crowded(lesson_booklet(result).read_bytes(), places, CLEAR_MM) == []
