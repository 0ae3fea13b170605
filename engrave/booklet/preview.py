"""The passages of a booklet as a browser shows them: the same words and pictures, without pages.

Enters: a ``Book`` and a ``PageStyle``. Leaves: HTML, a piece for each passage, and the files of the
page that holds them. Needs no WeasyPrint, and so takes a moment.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from engrave.booklet.book import Book
from engrave.booklet.setting import Setting
from engrave.booklet.style import PageStyle
from engrave.booklet.workshop import font_file
from engrave.words import TEMPLATES

FACES = ("Regular", "It", "Semibold")

_BETWEEN = "<!-- next passage -->"
_IMAGE = re.compile(r'<img (?P<before>[^>]*?)src="picture:(?P<name>[^"]+)"(?P<after>[^>]*)>')
_ALTERNATIVE = re.compile(r'\balt="([^"]*)"')
_KEPT = re.compile(r'\b(?:id|class|style)="[^"]*"')


@dataclass(frozen=True, slots=True)
class Preview:
    """What is to be seen: the style sheet, and the HTML of every passage by its id, in order."""

    title: str
    css: str
    passages: tuple[tuple[str, str], ...]


def preview(book: Book, style: PageStyle) -> Preview:
    """``book`` for a browser; the same book and style give the same text."""
    setting = Setting(book, style)
    css, *passages = setting.fill("preview/passages.html", spaces={}, begins=()).split(_BETWEEN)
    shown = (_with_pictures(html, setting.pictures) for html in passages)
    ids = (pages.passage.id for pages in book.passages)
    return Preview(book.title, css.replace('"font:', '"font/'), tuple(zip(ids, shown, strict=True)))


def page_files() -> dict[str, tuple[bytes, str]]:
    """The page itself, its script and its fonts: content and type by the path below the page."""
    files = {
        name: ((TEMPLATES / "preview" / (name or "page.html")).read_bytes(), kind)
        for name, kind in (
            ("", "text/html; charset=utf-8"),
            ("page.css", "text/css; charset=utf-8"),
            ("page.js", "text/javascript; charset=utf-8"),
        )
    }
    return files | {f"font/{face}": (font_file(face).read_bytes(), "font/otf") for face in FACES}


def _with_pictures(html: str, pictures: Mapping[str, bytes]) -> str:
    """Every image replaced by its drawing, which thus has the fonts of the page."""

    def drawn(image: re.Match[str]) -> str:
        attributes = image["before"] + image["after"]
        said = _ALTERNATIVE.search(attributes)
        kept = " ".join(_KEPT.findall(attributes))
        svg = pictures[image["name"]].decode()
        return f'<span role="img" aria-label="{said[1] if said else ""}" {kept}>{svg}</span>'

    return _IMAGE.sub(drawn, html)
