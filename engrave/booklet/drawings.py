"""Pictures as the press draws them: the SVG of music and tempo boxes, without WeasyPrint's detours.

Enters: the SVG of pictures by name. Leaves: images in WeasyPrint's sense. What our own pictures
hold is drawn by ``painting``; a picture with anything else is left to WeasyPrint. Tempo boxes may
stand in several places of a page: they are drawn once and called up there (a form XObject, ISO
32000-1, 8.10).
"""

from collections.abc import Mapping
from functools import cache
from io import BytesIO
from typing import Any
from xml.etree import ElementTree

from engrave.booklet.painting import Kept, is_ours, paint

SHARED = ("boxes-", "tempo-")
"""What the names of pictures begin with that may stand in several places."""


class Drawings:
    """The pictures of a document; ``fonts`` is its ``FontConfiguration``."""

    def __init__(self, fonts: Any) -> None:
        self._fonts, self._kept = fonts, Kept({}, {}, {}, {})

    def of(self, pictures: Mapping[str, bytes]) -> dict[str, Any]:
        """Images by their addresses, ``picture:NAME``."""
        image = _image_class()
        return {
            f"picture:{name}": image(name, svg, self._fonts, self._kept)
            for name, svg in pictures.items()
        }

    def next_page(self) -> None:
        """Forget what can be called up: it is to be drawn anew."""
        self._kept.next_page()


@cache
def _image_class() -> Any:
    from weasyprint.images import SVGImage
    from weasyprint.svg import SVG

    class Image(SVGImage):  # type: ignore[misc]
        """A picture; if it is shared, its first place draws it and the others call it up."""

        def __init__(self, name: str, svg: bytes, fonts: Any, kept: Kept) -> None:
            self._name, self._source, self._fonts, self._kept = name, svg, fonts, kept
            self._shared = name.startswith(SHARED)
            # Its size is all that the layout asks for: the trees of all pictures are much to hold.
            for _, root in ElementTree.iterparse(BytesIO(svg), ("start",)):
                self._svg = SVG(ElementTree.Element(root.tag, root.attrib), name, fonts)
                break

        def draw(self, stream: Any, width: float, height: float, style: Any) -> None:
            if not self._shared:
                self._draw(stream, width, height)
                return
            known, forms = (self._name, width, height), self._kept.pictures
            if known not in forms:
                form = stream.add_group(0, 0, width, height)
                del form.extra["Group"]  # nothing in it is transparent
                self._draw(form, width, height)
                forms[known] = form.id
            stream.draw_x_object(forms[known])

        def _draw(self, stream: Any, width: float, height: float) -> None:
            root = ElementTree.fromstring(self._source)
            if is_ours(root):
                size = (width, height)
                paint(root, stream, size, self._fonts, self._kept, not self._shared)
            else:
                svg = SVG(root, self._name, self._fonts)
                svg.draw(stream, width, height, self._name, None)

    return Image
