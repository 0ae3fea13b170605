"""Styles that elements share are those that WeasyPrint would work out for each of them."""

from typing import Any

from engrave.booklet import page_style
from engrave.booklet.parts import parts_of
from engrave.booklet.setting import Setting
from engrave.booklet.styles import SharedStyles, style_for
from engrave.booklet.tree import html_of
from engrave.booklet.workshop import Workshop
from engrave.machine.cache import NO_CACHE
from tests.booklet.samples import book

ASKED = ("color", "font_size", "margin_top", "width", "display", "text_decoration_line", "hyphens")


def test_every_element_looks_as_if_it_were_alone() -> None:
    from weasyprint.css import StyleFor

    style = page_style("student", "a4", "en")
    setting = Setting(book(width_mm=style.music_width_mm), style)
    parts = parts_of(setting.html(), setting.pictures)
    shop, shared = Workshop(NO_CACHE), SharedStyles()
    looks: set[int] = set()
    elements = 0
    for number in range(len(parts.parts)):
        html = html_of(parts.html(number), shop.fetcher)
        sheets = [(html._ua_stylesheets()[0], "user agent", None)]
        sheets.append((shop.sheet(parts.css), "user", None))
        ours: Any = style_for(html, sheets, shop.fonts, None, shared)
        alone = StyleFor(html, sheets, False, shop.fonts, None)
        for element in html.etree_element.iter():
            mine, its_own = ours(element), alone(element)
            assert [mine[name] for name in (*ASKED, "anchor")] == [
                its_own[name] for name in (*ASKED, "anchor")
            ]
            assert {name: mine[name] for name in list(its_own)} == dict(its_own)
            looks.add(id(mine))
            elements += 1
    assert len(looks) < 0.8 * elements
