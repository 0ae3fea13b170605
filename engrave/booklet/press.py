"""HTML to PDF: the only door to WeasyPrint.

Enters: HTML, the pictures it names, the font. Leaves: PDF bytes and the boxes of named elements.
Whatever else the page asks for is refused: no file, no network. Knows nothing of drills.
"""

import gc
import logging
import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from engrave.booklet.drawings import drawings
from engrave.booklet.library import load_weasyprint
from engrave.booklet.page_numbers import set_page_numbers
from engrave.booklet.tidying import tidy
from engrave.music.units import MM_PER_CSS_PIXEL

Box = tuple[int, float, float, float, float]
"""Page from 1, then x, y, width and height in millimetres from the page's top left."""


_MANY = 500_000
"""Objects made and kept from which on those that only hold each other are worth looking for."""

VARIANT = "pdf/ua-1"
"""Tagged for reading aloud: ISO 14289-1."""


class MissingCharactersError(Exception):
    """No font of this machine has these ``characters``."""

    def __init__(self, characters: str) -> None:
        super().__init__(characters)
        self.characters = characters


def font_file(name: str) -> Path:
    """A face of the packaged text font, ``Regular`` say."""
    import font_source_serif_pro

    return Path(font_source_serif_pro.font_directory) / f"SourceSerifPro-{name}.otf"


class Layout:
    """Pages laid out, not yet written: where every element with an id stands."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self.pages: int = len(document.pages)
        self.boxes = _boxes(document)
        set_page_numbers(document, {name: found[0][0] for name, found in self.boxes.items()})

    def pdf(self) -> bytes:
        """The file, of the same bytes on any day."""
        _sweep()
        with _no_complaints(), _fixed_dates():
            return bytes(self._document.write_pdf(pdf_variant=VARIANT, finisher=tidy))


def lay_out(html: str, pictures: Mapping[str, bytes]) -> Layout:
    """Lay ``html`` out on its pages; ``pictures`` gives the SVG of every ``picture:NAME`` in it.

    Raises, here or in ``Layout.pdf``, ``MissingCharactersError`` for characters that cannot be
    drawn, and ``RuntimeError`` when WeasyPrint reports anything else that it could not draw, rather
    than printing less than was asked.
    """
    _sweep()
    load_weasyprint()
    import weasyprint
    from weasyprint.text.fonts import FontConfiguration

    class Fetcher(weasyprint.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            scheme, _, name = url.partition(":")
            if scheme != "font":
                raise ValueError(f"the booklet may not fetch {url}")
            face = font_file(name).read_bytes()
            return weasyprint.urls.URLFetcherResponse(url, face, {"Content-Type": "font/otf"})

    with _no_complaints():
        page = weasyprint.HTML(string=html, base_url="booklet:", url_fetcher=Fetcher())
        fonts = FontConfiguration()
        images = drawings(html, pictures, fonts)
        return Layout(page.render(font_config=fonts, pdf_variant=VARIANT, cache=images))


def _sweep() -> None:
    """Free what a long layout left behind, also while Python is told not to look for it."""
    if gc.get_count()[0] > _MANY:
        gc.collect()


def _boxes(document: Any) -> dict[str, list[Box]]:
    boxes: dict[str, list[Box]] = {}
    for number, page in enumerate(document.pages, start=1):
        for name, (x1, y1, x2, y2) in page.anchors.items():
            x, y, width, height = (n * MM_PER_CSS_PIXEL for n in (x1, y1, x2 - x1, y2 - y1))
            boxes.setdefault(name, []).append((number, x, y, width, height))
    return boxes


@contextmanager
def _no_complaints() -> Iterator[None]:
    """A warning or an error that WeasyPrint logs meanwhile is raised; it raises none itself."""
    found: list[str] = []
    missing: set[str] = set()

    class Listener(logging.Handler):
        def emit(self, record: logging.LogRecord) -> None:
            if str(record.msg).startswith(".notdef glyph") and isinstance(record.args, tuple):
                missing.add(str(record.args[0]))
            else:
                found.append(record.getMessage())

    logger, listener = logging.getLogger("weasyprint"), Listener(logging.WARNING)
    logger.addHandler(listener)
    try:
        yield
    finally:
        logger.removeHandler(listener)
    if found:
        raise RuntimeError("; ".join(found))
    if missing:
        raise MissingCharactersError("".join(sorted(missing)))


@contextmanager
def _fixed_dates() -> Iterator[None]:
    """The subset fonts carry a date; the same input is to give the same bytes on any day."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before
