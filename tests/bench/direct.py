"""The direct way to the same booklet: what the tool is measured against.

``python -m tests.bench.direct MARKS PDF``. The drills, the words and the survey of the piece are
the tool's own; what lies between goes the way that the libraries offer first: music21 exports every
drill, verovio draws it, its SVG is mended only so far that WeasyPrint shows it, all of it stands
inline in one page of HTML, and WeasyPrint prints that with the tool's PDF variant.
"""

import re
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from engrave.booklet import page_style
from engrave.booklet.setting import Setting
from engrave.booklet.workshop import font_file
from engrave.drills import OPTIONS
from engrave.machine.cache import NO_CACHE
from engrave.marks import read_marks
from engrave.music.sheet import Sheet
from engrave.passage.assembly import assemble
from engrave.pipeline.contents import book
from engrave.pipeline.drilling import all_drills
from engrave.pipeline.terrain import terrain_of_piece, terrain_strip
from engrave.score import read_score
from tests.bench.streams import stream_of

_IMAGE = re.compile(r'<img\b[^>]* src="picture:([^"]+)"[^>]*>')


@dataclass(frozen=True)
class Drawn:
    """A page of verovio's, as large as it says."""

    svg: bytes
    width_mm: float
    height_mm: float
    systems: int = 1
    staff_height_mm: float = 7.0
    staff_tops_mm: tuple[float, ...] = (0.0,)


def direct(path: Path, pdf: Path) -> None:
    """Write the booklet of the marks file at ``path`` to ``pdf``."""
    import weasyprint

    marks = read_marks(path, OPTIONS)
    part = marks.part.value if marks.part else None
    score = read_score(marks.score.value, part=part, movement=marks.piece.movement)
    stretch_mm = marks.student.stretch_mm
    passages = [all_drills(assemble(mark, score, stretch_mm)) for mark in marks.passages]
    style = page_style()
    music: dict[str, list[Drawn]] = {
        each.id: drawings(exported(each.sheet), style.music_width_mm)
        for drilled in passages
        for each in drilled.drills
    }
    strip = terrain_strip(
        marks, score, passages, style.music_width_mm, style.language, NO_CACHE,
        lambda: terrain_of_piece(marks, score, NO_CACHE),
    )  # fmt: skip
    setting = Setting(book(marks, score, passages, music, strip), style)
    html = inlined(setting.html(), setting.pictures)
    page = weasyprint.HTML(string=html, base_url="booklet:", url_fetcher=_fetcher())
    pdf.write_bytes(page.write_pdf(pdf_variant="pdf/ua-1"))


def exported(sheet: Sheet) -> bytes:
    """The sheet as music21 writes it."""
    from music21.musicxml.m21ToXml import GeneralObjectExporter

    exporter = GeneralObjectExporter(stream_of(sheet))
    written: bytes = exporter.parse()
    return written


@cache
def _toolkit() -> Any:
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    return verovio.toolkit()


def drawings(musicxml: bytes, width_mm: float) -> list[Drawn]:
    """The pages that verovio makes of it, staves 7 mm high, in systems of its own choice."""
    toolkit = _toolkit()
    toolkit.setOptions(
        {
            "adjustPageHeight": True,
            "footer": "none",
            "header": "none",
            "pageHeight": 2400,
            "pageMarginBottom": 0,
            "pageMarginLeft": 0,
            "pageMarginRight": 0,
            "pageMarginTop": 0,
            "pageWidth": round(width_mm * 10),
            "svgViewBox": True,
            "unit": 8.75,
        }
    )
    if not toolkit.loadData(musicxml.decode()):
        raise RuntimeError("verovio did not read what music21 wrote")
    return [visible(toolkit.renderToSVG(page)) for page in range(1, toolkit.getPageCount() + 1)]


def visible(svg: str) -> Drawn:
    """Verovio's SVG with its inner ``<svg>`` made a scaled ``<g>``: the least that draws it."""
    outer = re.search(r'<svg viewBox="0 0 (\d+) (\d+)"', svg)
    inner = re.search(r'<svg class="definition-scale"[^>]* viewBox="0 0 (\d+) (\d+)"[^>]*>', svg)
    assert outer
    assert inner
    width, height = int(outer[1]), int(outer[2])
    head, tail = svg[: inner.start()], svg[inner.end() :]
    scale = f'<g class="definition-scale" color="black" transform="scale({width / int(inner[1])})">'
    last = tail.index("</svg>")
    mended = head + scale + tail[:last] + "</g>" + tail[last + len("</svg>") :]
    mended = mended[mended.index("<svg") :].replace(
        "<svg ", f'<svg width="{width / 10}mm" height="{height / 10}mm" ', 1
    )
    return Drawn(mended.encode(), width / 10, height / 10)


def inlined(html: str, pictures: Mapping[str, bytes]) -> str:
    """``html`` with every picture in the place of the image that names it."""
    return _IMAGE.sub(lambda image: pictures[image[1]].decode(), html)


def _fetcher() -> Any:
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Fonts(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            face = font_file(url.removeprefix("font:")).read_bytes()
            return URLFetcherResponse(url, face, {"Content-Type": "font/otf"})

    return Fonts()


if __name__ == "__main__":
    direct(Path(sys.argv[1]), Path(sys.argv[2]))
