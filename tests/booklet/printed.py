"""The sample book, printed once a session in every style that the tests look at."""

from functools import cache

import numpy as np

from engrave.booklet import Book, Bound, LaidOut, PageStyle, page_style
from engrave.machine.cache import NO_CACHE, Cache
from tests.booklet import pdf
from tests.booklet.samples import book

STYLES = [
    ("student", "a4", "en"),
    ("student", "a5", "de"),
    ("stand", "letter", "en"),
    ("masterclass", "a4", "de"),
    ("masterclass", "half-letter", "en"),
]


def bind(content: Book, style: PageStyle, cache: Cache = NO_CACHE) -> Bound:
    """A book laid out and printed in this process."""
    return LaidOut(content, style, cache).printed()


@cache
def printed(edition: str, paper: str, language: str) -> tuple[PageStyle, Bound]:
    """The style, and the sample book bound in it."""
    style = page_style(edition, paper, language)
    return style, bind(book(width_mm=style.music_width_mm), style)


@cache
def pixels(edition: str, paper: str, language: str) -> list[np.ndarray]:
    """Its pages."""
    return pdf.pages(printed(edition, paper, language)[1].pdf)


@cache
def text(edition: str, paper: str, language: str) -> str:
    """Its words, those for whoever cannot see it among them."""
    bound = printed(edition, paper, language)[1]
    return " ".join(pdf.texts(bound.pdf)) + " ".join(words for _, words in pdf.tags(bound.pdf))
