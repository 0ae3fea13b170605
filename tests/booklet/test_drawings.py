"""The shorter way to draw a picture, held to WeasyPrint's own."""

from collections.abc import Mapping
from io import BytesIO
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pikepdf
import pytest
import weasyprint
from weasyprint.text.fonts import FontConfiguration

from engrave.booklet.drawings import Drawings
from engrave.booklet.operators import operators
from engrave.booklet.painting import is_ours
from tests.booklet import pdf

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="80mm" height="40mm" viewBox="-10 -20 800 400"'
)
PICTURES = {
    name: f"{HEAD} font-family='Source Serif Pro'>{body}</svg>"
    for name, body in {
        "lines": """<path fill="none" stroke="#000" stroke-width="6" stroke-linecap="round"
            d="M0 0L300 40l100-40H500h50V200v90M600 0l50 50m-90 90l.5.5 90 0z
            M10 300h100v50h-9z"/>""",
        "curves": """<path d="M0 100c50-90 150-90 200 0 20 30 40-30 60 0C300 200 400 200 450 90z"/>
            <g transform="translate(500 100) scale(2)">
            <ellipse cx="30" cy="30" rx="20" ry="9"/></g>""",
        "text": """<text x="20" y="60" font-size="60">1</text>
            <text x="100 160 220" y="60 80 100" font-size="60" font-weight="bold">234</text>
            <text x="400" y="200" font-size="60" text-anchor="middle" fill="#666">5</text>
            <text x="700" y="200" font-size="60" text-anchor="end" font-style="italic">3</text>
            <text x="30" y="330" font-size="60"> 6  7 </text>
            <text x="300" y="330">8</text>""",
        "outlines": "".join(
            f"""<path fill="{fill}" d="M{x} {y}c0 20 90 20 99 0c5-9 0-90-50-20c-30 70-50-70-49 9z"""
            f"""M{x} {y + 150}c20 20 80 30 90 0c10-30-40-50-50-20c-10 30-50 10-40 20zm5 9h9v9z"/>"""
            for x, y, fill in ((0, 30, "#000"), (200, 60, "#6b6b6b"), (430, 21, "#f00"))
        ),
    }.items()
}


def printed(address: str, images: Mapping[str, Any] | None, fonts: Any, copies: int = 1) -> bytes:
    svg = PICTURES.get(address.removeprefix("picture:"), "").encode()

    class Fetcher(weasyprint.urls.URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: Any = None) -> Any:
            return weasyprint.urls.URLFetcherResponse(url, svg, {"Content-Type": "image/svg+xml"})

    page = weasyprint.HTML(string=html(address, copies), base_url="x:", url_fetcher=Fetcher())
    return bytes(page.write_pdf(font_config=fonts, cache=images))


def html(address: str, copies: int) -> str:
    image = f'<img src="{address}" style="display: block">'
    return f"<style>@page {{ size: 100mm 150mm; margin: 5mm }}</style>{image * copies}"


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize(("kind", "copies"), [("", 1), ("tempo-", 3)])
def test_a_picture_looks_as_weasyprint_draws_it(name: str, kind: str, copies: int) -> None:
    address, fonts = f"picture:{kind}{name}", FontConfiguration()
    images = Drawings(fonts).of({f"{kind}{name}": PICTURES[name].encode()})
    ours = pdf.pages(printed(address, images, fonts, copies))[0].astype(int)
    whole = printed(f"picture:{name}", None, FontConfiguration(), copies)
    theirs = pdf.pages(whole)[0].astype(int)
    assert is_ours(ElementTree.fromstring(PICTURES[name]))
    ink = int((theirs < pdf.INK).sum())
    assert ink > 200
    assert int((np.abs(ours - theirs) > 64).sum()) <= 0.05 * ink  # edges, by half a pixel


@pytest.mark.parametrize(("name", "forms"), [("curves", 0), ("boxes-curves", 1)])
def test_a_picture_that_may_stand_in_several_places_is_drawn_once(name: str, forms: int) -> None:
    fonts = FontConfiguration()
    images = Drawings(fonts).of({name: PICTURES["curves"].encode()})
    assert printed(f"picture:{name}", images, fonts, copies=3).count(b"/Form") == forms


def test_path_data_becomes_operators() -> None:
    assert operators("M1 2 3 4h-.5v1zm1 1l2-3") == (
        "1 2 m\n3 4 l\n2.5 4 l\n2.5 5 l\nh\n2 3 m\n4 0 l"
    )


@pytest.mark.parametrize(
    ("body", "ours"),
    [
        ('<path d="M0 0c5 5 0 0 1 5z" stroke-dasharray="3 4"/>', True),
        ('<path d="M0 0a5 5 0 0 1 5 5"/>', False),
        ('<path d="M0 0h5" stroke="url(#a)"/>', False),
        ('<path d="M0 0h5" stroke="red"/>', False),
        ('<path d="M0 0h5" opacity=".5"/>', False),
        ('<path d="M0 0h5" stroke-width="1mm"/>', False),
        ('<text x="1" y="1" font-weight="bolder">5</text>', False),
        ('<rect width="5" height="5"/>', False),
        ('<text x="1" y="1" dx="3">5</text>', False),
        ('<text x="1" y="1"><tspan>5</tspan></text>', False),
    ],
)
def test_what_is_not_ours_is_left_to_weasyprint(body: str, ours: bool) -> None:
    assert is_ours(ElementTree.fromstring(f"{HEAD}>{body}</svg>")) == ours


def test_outlines_that_come_again_are_drawn_once() -> None:
    note = "c0 20 90 20 100 0c0-30 0-90-50-20c-30 70-50-70-50 20c0-5 5-5 9 9z"
    body = "".join(f"M{x} 50{note}" for x in range(0, 700, 150))
    svg = f'{HEAD}><path d="{body}"/></svg>'
    fonts = FontConfiguration()
    images = Drawings(fonts).of({"notes": svg.encode()})
    with pikepdf.open(BytesIO(printed("picture:notes", images, fonts))) as document:
        (page,) = document.pages
        assert list(page.Resources.XObject.keys()) == ["/x0"]
        assert page.Contents.read_bytes().count(b"/x0 Do") == 5
