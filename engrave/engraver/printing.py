"""Shapes as SVG that every renderer draws alike: few elements, flat, without references.

Enters: shapes and the box to show. Leaves: the SVG's bytes. Lines of one width are one path, filled
outlines another, and text stays text. Nested ``viewBox``es, style sheets and ids of verovio's are
gone: some renderers draw them blank.
"""

from collections import defaultdict
from collections.abc import Iterable
from xml.sax.saxutils import escape, quoteattr

from engrave.engraver.paths import Box
from engrave.engraver.shapes import Fill, Glyph, Shape, Stroke, Text

FAMILY = "Source Serif Pro"


def svg(shapes: Iterable[Shape], box: Box, mm: float) -> bytes:
    """The drawing of ``shapes`` inside ``box``, one unit being ``mm`` millimetres."""
    width, height = box.right - box.left, box.bottom - box.top
    view = " ".join(str(round(n)) for n in (box.left, box.top, width, height))
    strokes: dict[tuple[float, str, str], list[str]] = defaultdict(list)
    fills: dict[float, list[str]] = defaultdict(list)
    glyphs: list[Glyph] = []
    texts: list[Text] = []
    for shape in shapes:
        if isinstance(shape, Stroke):
            strokes[shape.width, shape.cap, shape.dash].append(shape.path.data())
        elif isinstance(shape, Fill):
            fills[shape.edge].append(shape.path.data())
        elif isinstance(shape, Glyph):
            glyphs.append(shape)
        else:
            texts.append(shape)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * mm:.3f}mm" '
        f'height="{height * mm:.3f}mm" viewBox="{view}">',
        *(_stroke(key, paths) for key, paths in strokes.items()),
        *(_fill(edge, paths) for edge, paths in fills.items()),
        _glyphs(glyphs),
        f'<g font-family="{FAMILY}, serif">',
        *(_text(text) for text in texts),
        "</g></svg>\n",
    ]
    return "".join(parts).encode()


def _stroke(key: tuple[float, str, str], paths: list[str]) -> str:
    width, cap, dash = key
    more = f' stroke-linecap="{cap}"' if cap != "butt" else ""
    more += f' stroke-dasharray="{dash}"' if dash else ""
    return f'<path fill="none" stroke="#000" stroke-width="{width:g}"{more} d="{"".join(paths)}"/>'


def _fill(edge: float, paths: list[str]) -> str:
    more = f' stroke="#000" stroke-width="{edge:g}" stroke-linejoin="round"' if edge else ""
    return f'<path{more} d="{"".join(paths)}"/>'


def _glyphs(glyphs: list[Glyph]) -> str:
    """All glyphs as one outline."""
    moved = (
        glyph.outline.mapped(lambda p, g=glyph: (p[0] + g.x, p[1] + g.y))  # type: ignore[misc]
        for glyph in glyphs
    )
    return f'<path d="{"".join(path.data() for path in moved)}"/>'


def _text(text: Text) -> str:
    style = f' x="{text.x:.0f}" y="{text.y:.0f}" font-size="{text.size:.0f}"'
    style += ' text-anchor="middle"' if text.anchor == "middle" else ""
    style += ' font-style="italic"' if text.italic else ""
    style += ' font-weight="bold"' if text.bold else ""
    style += f" fill={quoteattr(text.color)}" if text.color else ""
    return f"<text{style}>{escape(text.text)}</text>"
