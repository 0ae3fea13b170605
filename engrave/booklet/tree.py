"""A part's HTML as a tree, for WeasyPrint (70.0).

Enters: HTML of our templates. Leaves: WeasyPrint's ``HTML``. Its parser is written in Python and
mends what browsers mend. Our templates leave nothing to be mended: but for elements without an end
they are XML, which Python reads with a library in C. Whatever else stands there goes the other way.
"""

import re
from typing import Any
from xml.etree import ElementTree

_DOCTYPE = "<!DOCTYPE html>"
_ENDLESS = re.compile(r"<((?:img|meta|br|hr|wbr)\b[^>]*?)/?>")
_OTHERWISE_IN_XML = re.compile(r'="[^"]*[\t\n\r][^"]*"|<(?:script|style|textarea|pre)\b')
"""Line ends in attributes become spaces there, and some elements hold no markup here."""


def html_of(html: str, fetcher: Any) -> Any:
    """WeasyPrint's document, as it would read it."""
    import weasyprint

    if (root := _root(html)) is None:
        return weasyprint.HTML(string=html, base_url="booklet:", url_fetcher=fetcher)
    import cssselect2

    document = weasyprint.HTML.__new__(weasyprint.HTML)
    document.base_url, document.url_fetcher, document.media_type = "booklet:", fetcher, "print"
    wrapper = cssselect2.ElementWrapper.from_html_root(root, content_language=None)
    document.wrapper_element, document.etree_element = wrapper, wrapper.etree_element
    return document


def _root(html: str) -> ElementTree.Element | None:
    """The tree, None where the two ways may differ."""
    if not html.startswith(_DOCTYPE) or _OTHERWISE_IN_XML.search(html):
        return None
    try:
        return ElementTree.fromstring(_ENDLESS.sub(r"<\1/>", html.removeprefix(_DOCTYPE)))
    except ElementTree.ParseError:
        return None
