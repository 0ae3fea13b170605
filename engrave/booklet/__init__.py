"""The booklet as a printed thing: ``bind`` a ``Book`` in a ``PageStyle``."""

from engrave.booklet.binding import bind
from engrave.booklet.book import Book, Bound, DrillPage, PassagePages, Place
from engrave.booklet.style import PAPERS, Edition, PageStyle, page_style

__all__ = [
    "PAPERS", "Book", "Bound", "DrillPage", "Edition", "PageStyle", "PassagePages", "Place",
    "bind", "page_style",
]  # fmt: skip
