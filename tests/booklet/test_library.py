"""WeasyPrint's own style sheet, as far as it is read, sets our pages as the whole would."""

from collections.abc import Iterator
from importlib.resources import files
from typing import Any

import pytest
import weasyprint
from weasyprint.css.counters import CounterStyle

from engrave.booklet import page_style
from engrave.booklet.library import _UNUSED_SHEETS, shortened
from engrave.booklet.parts import parts_of
from engrave.booklet.setting import Setting
from engrave.booklet.tree import html_of
from tests.booklet.samples import book

_SHEET = "html5_ua.css"
_IN_NONE = ("footnote-call", "footnote-marker", "note-call", "note-marker", "note-callback")


def own(name: str) -> str:
    """A style sheet of WeasyPrint's."""
    return (files("weasyprint.css") / name).read_text("utf-8")


def matched(css: str, htmls: list[str]) -> list[list[Any]]:
    """What ``css`` says of every element, the strongest last."""
    matcher = weasyprint.CSS(string=css, counter_style=CounterStyle()).matcher
    return [
        [
            (element.local_name, pseudo, repr(declarations))
            for _, _, pseudo, (declarations, _) in matcher.match(element)
            if pseudo not in _IN_NONE and (pseudo != "marker" or element.local_name == "li")
        ]
        for html in htmls
        for element in html_of(html, None).wrapper_element.iter_subtree()
    ]


def parts(edition: str, language: str) -> Iterator[str]:
    style = page_style(edition, "a4", language)
    setting = Setting(book(width_mm=style.music_width_mm), style)
    all_parts = parts_of(setting.html(), setting.pictures)
    for number in range(len(all_parts.parts)):
        yield all_parts.html(number)


@pytest.mark.parametrize(
    ("edition", "language"), [("student", "de"), ("stand", "en"), ("masterclass", "en")]
)
def test_every_element_is_styled_as_by_the_whole_sheet(edition: str, language: str) -> None:
    htmls = list(parts(edition, language))
    css = own(_SHEET)
    whole = matched(css, htmls)
    assert sum(map(len, whole)) > len(whole)
    assert matched(shortened(_SHEET, css), htmls) == whole


def test_no_page_sets_what_is_left_out() -> None:
    """Numbers in other scripts, notes, writing from the right, attributes that set looks, forms."""
    from engrave.words import TEMPLATES

    for path in (*TEMPLATES.glob("*.html"), *TEMPLATES.glob("css/*.css")):
        text = path.read_text("utf-8")
        for absent in ("footnote", "note-", "list-style-type", "list-item", " dir=", "<input"):
            assert absent not in text, f"{path.name} holds {absent}"


def test_the_sheets_are_long() -> None:
    """Where they are no longer, they can be read as they are."""
    css = own(_SHEET)
    assert len(shortened(_SHEET, css)) < len(css) / 2
    for name in _UNUSED_SHEETS:
        assert own(name)
        assert shortened(name, own(name)) == ""
