"""Page numbers set afterwards against WeasyPrint's ``target-counter()``: the same to be seen."""

import numpy as np
import pytest
import weasyprint

from engrave.booklet.page_numbers import AS_CSS, STAND_IN
from engrave.booklet.press import Press
from engrave.booklet.workshop import Workshop
from engrave.machine.cache import NO_CACHE
from tests.booklet import pdf

PAGES = 100


def html(number: str, align: str) -> str:
    """Pages of one line, with a link to each of some of them before and after."""
    links = "".join(f'<p><a href="#to-{to}">page </a></p>' for to in (1, 9, 10, 11, PAGES))
    pages = "".join(f'<h1 id="to-{to}">{to}</h1>' for to in range(1, PAGES + 1))
    return f"""<!DOCTYPE html><html lang="en"><head><title>Numbers</title><style>
@font-face {{ font-family: "Source Serif Pro"; src: url("font:Regular"); }}
@page {{ size: 60mm 80mm; margin: 5mm; }}
html {{ font: 9pt "Source Serif Pro"; font-feature-settings: "onum", "pnum"; }}
h1 {{ break-before: page; font: inherit; }}
p {{ text-align: {align}; }}
a::after {{ content: {number} "."; }}
</style></head><body>{links}{pages}{links}</body></html>"""


@pytest.mark.parametrize("align", ["left", "right"])
def test_numbers_stand_where_css_puts_them(align: str) -> None:
    shop = Workshop(NO_CACHE)
    ours = Press().lay_out(html(f'"{STAND_IN}"', align), {}).pdf()
    by_css = weasyprint.HTML(string=html(AS_CSS, align), url_fetcher=shop.fetcher)
    theirs = by_css.write_pdf(font_config=shop.fonts)
    assert pdf.texts(ours) == pdf.texts(theirs)
    for one, other in zip(pdf.pages(ours), pdf.pages(theirs), strict=True):
        assert np.array_equal(one, other)
