"""The short way to a tree of HTML, held to the parser that WeasyPrint uses."""

from xml.etree.ElementTree import Element

import pytest
import tinyhtml5

from engrave.booklet import page_style
from engrave.booklet.page_numbers import STAND_IN
from engrave.booklet.parts import parts_of
from engrave.booklet.setting import Setting
from engrave.booklet.tree import _root, html_of
from tests.booklet.samples import book
from tests.booklet.test_privacy import hostile

Shape = tuple[object, ...]


def shape(element: Element) -> Shape:
    """All that there is of an element, down to its leaves."""
    said = (element.text or "", element.tail or "")
    return (element.tag, dict(element.attrib), *said, *map(shape, element))


def by_html(html: str) -> Shape:
    return shape(tinyhtml5.parse(html, namespace_html_elements=False))


@pytest.mark.parametrize("edition", ["student", "stand"])
@pytest.mark.parametrize("is_hostile", [False, True])
def test_parts_of_booklets_are_the_same_trees(edition: str, is_hostile: bool) -> None:
    setting = Setting(hostile() if is_hostile else book(), page_style(edition), f'"{STAND_IN}"')
    parts = parts_of(setting.html(), {})
    for number in range(len(parts.parts)):
        root = _root(parts.html(number))
        assert root is not None
        assert shape(root) == by_html(parts.html(number))


@pytest.mark.parametrize(
    "body",
    [
        '<img alt="two\nlines">',
        "<p>open",
        "<p>&nbsp;</p>",
        "<p>\x0b</p>",
        "<pre>\n<b>x</b></pre>",
        "<b>1<br>2</b>",
    ],
)
def test_what_xml_would_read_otherwise_is_read_as_html(body: str) -> None:
    html = f"<!DOCTYPE html><html><head></head><body>{body}</body></html>"
    assert shape(html_of(html, None).etree_element) == by_html(html)
