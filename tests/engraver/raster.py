"""Pictures as pixels, by two renderers that share nothing: WeasyPrint with pdfium, and resvg."""

import io
import math
import re
from pathlib import Path

import font_source_serif_pro
import numpy as np
import numpy.typing as npt
import pypdfium2
import resvg_py
import weasyprint
from PIL import Image
from weasyprint.urls import URLFetcher, URLFetcherResponse

MM_PER_INCH = 25.4
DARK = 200
"""Ink is darker than this, of 255."""

Ink = npt.NDArray[np.bool_]

FONTS = Path(font_source_serif_pro.__file__).parent / "files"
FACES = {
    "Regular": "", "It": "font-style: italic;", "Bold": "font-weight: bold;",
    "BoldIt": "font-style: italic; font-weight: bold;",
}  # fmt: skip


class _Fetcher(URLFetcher):  # type: ignore[misc]
    def __init__(self, svg: bytes) -> None:
        super().__init__()
        self.svg = svg

    def fetch(self, url: str, headers: object = None) -> URLFetcherResponse:
        if url == "picture:":
            return URLFetcherResponse(url, self.svg, {"Content-Type": "image/svg+xml"})
        name = url.removeprefix("font:")
        return URLFetcherResponse(url, (FONTS / name).read_bytes(), {"Content-Type": "font/otf"})


def pixels(mm: float, dpi: float = 300) -> int:
    """Whole pixels that hold ``mm``."""
    return math.ceil(mm / MM_PER_INCH * dpi - 1e-6)


def printed(svg: bytes, width_mm: float, height_mm: float, dpi: float = 300) -> Ink:
    """The ink of a picture at the corner of a page of whole pixels, from WeasyPrint's PDF."""
    faces = "".join(
        f"@font-face {{font-family: Source Serif Pro; src: url(font:SourceSerifPro-{name}.otf);"
        f"{style}}}"
        for name, style in FACES.items()
    )
    page = " ".join(f"{pixels(mm, dpi) / dpi}in" for mm in (width_mm, height_mm))
    html = (
        f"<style>{faces} @page {{size: {page}; margin: 0}} body {{margin: 0}}"
        f"img {{display: block; width: {width_mm}mm; height: {height_mm}mm}}</style>"
        '<img src="picture:">'
    )
    pdf = weasyprint.HTML(string=html, url_fetcher=_Fetcher(svg)).write_pdf()
    document = pypdfium2.PdfDocument(pdf)
    assert len(document) == 1
    image = document[0].render(scale=dpi / 72, grayscale=True).to_pil()
    rows, columns = pixels(height_mm, dpi), pixels(width_mm, dpi)
    return (np.asarray(image.convert("L")) < DARK)[:rows, :columns]


def drawn(svg: bytes, width_mm: float, height_mm: float, dpi: float = 300) -> Ink:
    """The ink of a picture at the corner of a canvas of whole pixels, from resvg."""
    left, top, width, _ = view_box(svg)
    unit = width / width_mm * MM_PER_INCH / dpi
    across, down = pixels(width_mm, dpi), pixels(height_mm, dpi)
    head, _, body = svg.decode().partition(">")
    head = re.sub(r' (width|height|viewBox)="[^"]*"', "", head)
    view = f"{left} {top} {across * unit} {down * unit}"
    png = resvg_py.svg_to_bytes(
        svg_string=f'{head} viewBox="{view}" width="{across}" height="{down}">{body}',
        background="white",
        skip_system_fonts=True,
        font_files=[str(FONTS / f"SourceSerifPro-{name}.otf") for name in FACES],
    )
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L")) < DARK


def view_box(svg: bytes) -> tuple[float, float, float, float]:
    """Left, top, width and height of what a picture shows, in its units."""
    found = re.search(rb'viewBox="(\S+) (\S+) (\S+) (\S+)"', svg)
    assert found
    left, top, width, height = map(float, found.groups())
    return left, top, width, height


def without(svg: bytes, element: str) -> bytes:
    """The picture without its elements of one name."""
    return re.sub(rb"<%b\b[^>]*?(/>|>.*?</%b>)" % ((element.encode(),) * 2), b"", svg, flags=re.S)


def near(ink: Ink) -> Ink:
    """The ink, one pixel fatter on every side."""
    padded = np.pad(ink, 1)
    rows, columns = ink.shape
    fat: Ink = np.logical_or.reduce(
        [padded[y : y + rows, x : x + columns] for y in range(3) for x in range(3)]
    )
    return fat


def agreement(one: Ink, other: Ink) -> float:
    """The smaller of two shares: of each picture's ink, what lies within a pixel of the other's."""
    assert one.shape == other.shape
    shares = (one & near(other)).sum() / one.sum(), (other & near(one)).sum() / other.sum()
    return float(min(shares))
