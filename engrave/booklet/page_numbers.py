"""The page of what a link leads to, set when that page stands.

Enters: a page of WeasyPrint's, laid out with ``STAND_IN`` for the number of every page. Leaves: the
same page with the numbers. CSS has ``target-counter()`` for it, and WeasyPrint lays out every page
that has one three times: as if all numbers were 0, with the numbers, and again to see that they
stay. But a number no wider than its stand-in moves nothing else, if its link ends the line and has
it to itself where lines end at the right; so it can be set afterwards.
"""

from collections.abc import Iterator, Mapping
from typing import Any

STAND_IN = "000"
"""As wide as the number of any page is."""

AS_CSS = "target-counter(attr(href), page)"
"""The same for a style sheet, worked out by whoever lays out the pages."""


def set_page_numbers(page_box: Any, pages: Mapping[str, int]) -> None:
    """Amend a page in place; ``pages`` has the page of every anchor that it links to."""
    for text, link in list(_numbers(page_box, ())):
        _set(text, link, str(pages[text.element.get("href").removeprefix("#")]))


def _numbers(box: Any, link: tuple[Any, ...]) -> Iterator[tuple[Any, tuple[Any, ...]]]:
    """Every text with a stand-in, and the boxes of its link around it."""
    link = (*link, box) if box.element_tag in ("a", "a::after") else ()
    for child in getattr(box, "children", ()):
        if child.element_tag == "a::after" and STAND_IN in getattr(child, "text", ""):
            yield child, link
        else:
            yield from _numbers(child, link)


def _set(box: Any, link: tuple[Any, ...], number: str) -> None:
    from weasyprint.text.line_break import split_first_line

    text, before = box.text.replace(STAND_IN, number), box.width
    box.pango_layout, _, _, box.width, _, _ = split_first_line(text, box.style, None, None, 0)
    box.text = text
    less = before - box.width
    for each in link:
        each.width -= less
    if box.style["text_align_all"] in ("right", "end"):
        link[0].translate(less)
