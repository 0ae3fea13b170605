"""What a printed booklet shows to readers that are not its printer: pixels, vectors, text, tags."""

from collections.abc import Iterator, Sequence
from ctypes import byref, c_float
from io import BytesIO
from typing import Any

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium

from engrave.booklet import PageStyle, Place

DPI = 100
PIXELS_PER_MM = DPI / 25.4
MM_PER_POINT = 25.4 / 72
INK = 200
"""Grey levels below this are ink."""
LETTER_MM = 0.5
"""Less than the height of any letter: music is cut to its ink, its own letters lie inside."""


def pages(pdf: bytes) -> list[np.ndarray]:
    """Every page as grey levels, ``DPI`` pixels an inch."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [
            np.asarray(page.render(scale=DPI / 72, grayscale=True).to_pil().convert("L"))
            for page in document
        ]


def ink_box(page: np.ndarray) -> tuple[float, float, float, float] | None:
    """Left, top, right and bottom of all ink in millimetres; None for an empty page."""
    rows, columns = np.nonzero(page < INK)
    if not len(rows):
        return None
    left, right = columns.min(), columns.max() + 1
    top, bottom = rows.min(), rows.max() + 1
    return tuple(float(n) / PIXELS_PER_MM for n in (left, top, right, bottom))  # type: ignore[return-value]


def texts(pdf: bytes) -> list[str]:
    """The text of every page in the order of the file."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_textpage().get_text_bounded() for page in document]


def bookmarks(pdf: bytes) -> list[tuple[int, str, int]]:
    """Level from 0, title, and page from 0 of every bookmark."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [
            (mark.level, mark.get_title(), mark.get_dest().get_index())
            for mark in document.get_toc()
        ]


def staff_lines(pdf: bytes, page: int, longer_than_mm: float) -> list[float]:
    """Heights in millimetres of the long horizontal strokes of a page, from its own vectors."""
    with pypdfium2.PdfDocument(pdf) as document:
        return sorted(
            y1
            for one in _paths(document[page])
            for (x1, y1), (x2, y2) in _strokes(one)
            if y1 == y2 and abs(x2 - x1) > longer_than_mm
        )


def _paths(page: Any) -> Iterator[Any]:
    yield from page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH], max_depth=10)


def _strokes(one: Any) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    matrix = one.get_matrix()
    last = (0.0, 0.0)
    for index in range(pdfium.FPDFPath_CountSegments(one.raw)):
        segment = pdfium.FPDFPath_GetPathSegment(one.raw, index)
        x, y = c_float(), c_float()
        pdfium.FPDFPathSegment_GetPoint(segment, byref(x), byref(y))
        point = tuple(round(n * MM_PER_POINT, 4) for n in matrix.on_point(x.value, y.value))
        if pdfium.FPDFPathSegment_GetType(segment) == pdfium.FPDF_SEGMENT_LINETO:
            yield last, point
        last = point


def tags(pdf: bytes) -> Iterator[tuple[str, str]]:
    """Every element of the structure tree in reading order: its type and alternative text."""
    import pikepdf

    with pikepdf.open(BytesIO(pdf)) as document:
        yield from _walk(document.Root.StructTreeRoot.K)


def _walk(node: Any) -> Iterator[tuple[str, str]]:
    import pikepdf

    if isinstance(node, pikepdf.Array):
        for child in node:
            yield from _walk(child)
    elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
        yield str(node.S)[1:], str(node.get("/Alt", ""))
        if "/K" in node:
            yield from _walk(node.K)


def fullness(page: np.ndarray, style: PageStyle) -> float:
    """How far down the text block of a page its last ink stands, 1 at its foot."""
    top, foot = (round(mm * PIXELS_PER_MM) for mm in (style.top_mm, style.bottom_mm))
    box = ink_box(page[top:-foot])
    return 0.0 if box is None else box[3] / style.text_height_mm


def near_empty(pdf: bytes, sheets: Sequence[np.ndarray], style: PageStyle) -> list[int]:
    """Pages, from 1, that are less than a third full, the last of each section aside."""
    sections = {page for level, _, page in bookmarks(pdf) if level == 0}
    return [
        number
        for number, sheet in enumerate(sheets[:-1], start=1)
        if number not in sections and fullness(sheet, style) < 1 / 3
    ]


def crowded(pdf: bytes, places: Sequence[Place], clear_mm: float) -> list[tuple[int, str]]:
    """Pages, and the words on them, where something printed comes too near to music."""
    found = []
    with pypdfium2.PdfDocument(pdf) as document:
        for number in sorted({place.page for place in places}):
            music = [place for place in places if place.page == number]
            page = document[number - 1]
            text, height = page.get_textpage(), page.get_height()
            for index, letter in enumerate(text.get_text_range()[: text.count_chars()]):
                left, bottom, right, top = text.get_charbox(index)
                box = [n * MM_PER_POINT for n in (left, height - top, right, height - bottom)]
                if not letter.isspace() and any(_is_near(box, each, clear_mm) for each in music):
                    found.append((number, text.get_text_range(max(0, index - 9), 20)))
    return found


def _is_near(box: Sequence[float], place: Place, clear_mm: float) -> bool:
    """Whether a letter is outside of the music, but not as far as it should be."""
    left, top, right, bottom = box
    beside = max(place.x_mm - right, left - place.x_mm - place.width_mm)
    below = max(place.y_mm - bottom, top - place.y_mm - place.height_mm)
    inside = beside < -LETTER_MM and below < -LETTER_MM
    return not inside and max(beside, below) < clear_mm


def width_of(pdf: bytes, words: str) -> list[float]:
    """How wide ``words`` are, in millimetres, wherever they stand."""
    found = []
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            text = page.get_textpage()
            search = text.search(words, match_case=True)
            while place := search.get_next():
                boxes = [text.get_charbox(n) for n in range(place[0], sum(place))]
                found.append((max(b[2] for b in boxes) - min(b[0] for b in boxes)) * MM_PER_POINT)
    return found
