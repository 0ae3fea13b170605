"""Pictures as the press draws them: the SVG of music and tempo boxes, without WeasyPrint's detours.

Enters: the HTML of a booklet and the SVG of its pictures. Leaves: images in WeasyPrint's sense.
What our own pictures hold is drawn by ``painting``; a picture with anything else is left to
WeasyPrint. A picture that stands in several places is drawn once and called up there (a form
XObject, ISO 32000-1, 8.10).
"""

import re
from collections import Counter
from collections.abc import Mapping
from functools import cache
from typing import Any
from xml.etree import ElementTree

from engrave.booklet.painting import Kept, is_ours, paint


def drawings(html: str, pictures: Mapping[str, bytes], fonts: Any) -> dict[str, Any]:
    """The images by their addresses; ``fonts`` is the ``FontConfiguration`` of the document.

    ``pictures`` gives the SVG of every ``picture:NAME`` in ``html``.
    """
    image, kept = _image_class(), Kept({}, {})
    places = Counter(re.findall(r'"(picture:[^"]+)"', html))
    return {
        address: image(address, pictures[name], fonts, kept, places[address] > 1)
        for name in pictures
        if (address := f"picture:{name}")
    }


@cache
def _image_class() -> Any:
    from weasyprint.images import SVGImage
    from weasyprint.svg import SVG

    class Image(SVGImage):  # type: ignore[misc]
        """A picture; if it is ``shared``, its first place draws it and the others call it up."""

        def __init__(self, address: str, svg: bytes, fonts: Any, kept: Kept, shared: bool) -> None:
            self._address, self._shared = address, shared
            self._source, self._fonts, self._kept = svg, fonts, kept
            root = ElementTree.fromstring(svg)
            self._is_ours = is_ours(root)
            # Its size is all that the layout asks for: the trees of all pictures are much to hold.
            self._svg = SVG(ElementTree.Element(root.tag, root.attrib), address, fonts)
            self._forms: dict[tuple[float, float], str] = {}

        def draw(self, stream: Any, width: float, height: float, style: Any) -> None:
            if not self._shared:
                self._draw(stream, width, height)
                return
            if (width, height) not in self._forms:
                form = stream.add_group(0, 0, width, height)
                del form.extra["Group"]  # nothing in it is transparent
                self._draw(form, width, height)
                self._forms[width, height] = form.id
            stream.draw_x_object(self._forms[width, height])

        def _draw(self, stream: Any, width: float, height: float) -> None:
            root = ElementTree.fromstring(self._source)
            if self._is_ours:
                size = (width, height)
                paint(root, stream, size, self._fonts, self._kept, not self._shared)
            else:
                svg = SVG(root, self._address, self._fonts)
                svg.draw(stream, width, height, self._address, None)

    return Image
