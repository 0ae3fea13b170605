"""Pages are used: three quarters over a booklet, two fifths on each, in every edition."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.booklet.fill import LEAST_OF_ALL, Page, booklets, edition_of, fills, used
from tests.booklet.pdf import bookmarks
from tests.works import DEMO, WORKS, Built, Work

Build = Callable[[Work], Built]
RAG, SONATA = WORKS[0], WORKS[1]


def mean(pages: list[Page]) -> float:
    return sum(page.fill for page in pages) / len(pages)


@pytest.mark.parametrize("work", [DEMO, RAG, SONATA], ids=["demo", "rag", "sonata"])
def test_the_lesson_booklet_uses_its_pages(built: Build, work: Work) -> None:
    booklet = built(work).folder / f"{work.name}-student.pdf"
    pages = fills(booklet.read_bytes(), "student")
    assert mean(pages) >= LEAST_OF_ALL
    assert [page.number for page in pages if page.is_wasted or page.is_blank] == []


def test_every_edition_of_the_demo_does_on_letter_in_german(tmp_path: Path) -> None:
    path = DEMO.write(tmp_path)
    everything = []
    for name, pdf in booklets(path, ("letter",), ("de",), lambda _, folded: not folded):
        pages = fills(pdf, edition_of(name))
        assert [page.number for page in pages if page.is_wasted or page.is_blank] == [], name
        everything += pages
    assert mean(everything) >= LEAST_OF_ALL


def test_folded_pages_for_the_stand_do_though_a_drill_is_half_a_page(tmp_path: Path) -> None:
    path = DEMO.write(tmp_path)
    ((_, booklet),) = booklets(
        path, ("a4",), ("en",), lambda edition, folded: folded and edition == "stand"
    )
    pages = fills(booklet, "stand")
    assert [page.number for page in pages if page.is_wasted or page.is_blank] == []
    assert mean(pages) >= LEAST_OF_ALL


def test_music_of_two_pages_does_not_leave_its_heading_alone(tmp_path: Path) -> None:
    """The passage as written is higher than a folded page."""
    marks = "tempo: {beat: quarter, goal: 96}\npassages:\n  - {measures: 5-12, hand: left}\n"
    path = replace(WORKS[2], marks=marks).write(tmp_path)
    ((_, booklet),) = booklets(
        path, ("a4",), ("en",), lambda edition, folded: folded and edition == "stand"
    )
    (page,) = (page + 1 for _, title, page in bookmarks(booklet) if "Measures" in title)
    assert next(each for each in fills(booklet, "stand") if each.number == page).fill > 0.4


def test_what_is_used_of_a_page() -> None:
    """Ink, and gaps of up to 12 mm; not the foot, nor a wider gap (34 pixels are 12 mm)."""
    rows = np.zeros(200, dtype=bool)
    rows[[0, 30, 100]] = True
    assert used(rows) == pytest.approx((101 - 69) / 200)
    assert used(np.zeros(200, dtype=bool)) == 0
