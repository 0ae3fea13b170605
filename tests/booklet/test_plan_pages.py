"""The practice plan on its pages: no day or two alone on a page of their own."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from engrave.booklet import page_style
from tests.booklet import pdf
from tests.booklet.printed import bind
from tests.booklet.samples import book

PERFORMANCE = date(2027, 3, 14)
FEWEST = 4
"""Days that may stand alone on a page; fewer look forgotten. Common practice, no source."""


def days_a_page(paper: str, days: int) -> Sequence[int]:
    """How many days each page of a plan of so many ``days`` has."""
    begin = PERFORMANCE - timedelta(days=days)
    content = book(1, begin=begin, performance=PERFORMANCE, rest_days=())
    texts = pdf.texts(bind(content, page_style("student", paper)).pdf)
    first = next(n for n, text in enumerate(texts) if "Plan up to the performance" in text and n)
    return [text.count("☐") for text in texts[first:]]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_plan_that_is_a_little_too_long_is_set_closer(paper: str) -> None:
    most = 34 if paper == "a4" else 31
    assert days_a_page(paper, most) == [most]
    assert days_a_page(paper, most + 1) == [most + 1]
    assert days_a_page(paper, most + 3) == [most + 3]


def test_what_does_not_fit_takes_other_days_with_it() -> None:
    """Thirty days fill a page of folded paper, set closer or not."""
    (first, last) = days_a_page("a5", 32)
    assert first + last == 32
    assert first < 30
    assert last >= FEWEST
