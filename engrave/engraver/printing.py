"""Shapes as SVG that every renderer draws alike: few elements, flat, without references.

Enters: shapes and the box to show. Leaves: the SVG's bytes. Lines of one width are one path, filled
outlines another, glyphs a third; text stays text. Nested ``viewBox``es, style sheets and ids of
verovio's are gone: some renderers draw them blank, all of them slowly.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from html import escape

from engrave.engraver.paths import Box
from engrave.engraver.shapes import Fill, Glyph, Polyline, Shape, TextLine

FAMILY = "Source Serif Pro"

_Pen = tuple[float, str, str]
"""Width, cap and dashes of a stroke."""

_Hand = tuple[float, str, bool, bool, str]
"""Size, anchor, slant, weight and color of text."""


def svg(shapes: Iterable[Shape], box: Box, mm: float) -> bytes:
    """The drawing of ``shapes`` inside ``box`` (whole units), one unit being ``mm`` millimetres."""
    width, height = box.right - box.left, box.bottom - box.top
    strokes: dict[_Pen, list[Polyline]] = defaultdict(list)
    fills: dict[float, list[str]] = defaultdict(list)
    glyphs: list[str] = []
    texts: dict[_Hand, list[TextLine]] = defaultdict(list)
    for shape in shapes:
        if isinstance(shape, Polyline):
            strokes[shape.width, shape.cap, shape.dash].append(shape)
        elif isinstance(shape, Fill):
            fills[shape.edge].append(shape.path.data())
        elif isinstance(shape, Glyph):
            glyphs.append(_stamped(shape))
        else:
            key = (shape.size, shape.anchor, shape.italic, shape.bold, shape.color)
            texts[key].append(shape)
    view = " ".join(f"{n:.0f}" for n in (box.left, box.top, width, height))
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * mm:.3f}mm" '
        f'height="{height * mm:.3f}mm" viewBox="{view}">',
        *(_stroke(pen, lines) for pen, lines in strokes.items()),
        *(_fill(edge, paths) for edge, paths in fills.items()),
        f'<path d="{"".join(glyphs)}"/>',
        f'<g font-family="{FAMILY}, serif">',
        *(_text(hand, lines) for hand, lines in texts.items()),
        "</g></svg>\n",
    ]
    return "".join(parts).encode()


def _stroke(pen: _Pen, lines: list[Polyline]) -> str:
    width, cap, dash = pen
    more = f' stroke-linecap="{cap}"' if cap != "butt" else ""
    more += f' stroke-dasharray="{dash}"' if dash else ""
    data = "".join(line.path.data() for line in (lines if more else _joined(lines)))
    return f'<path fill="none" stroke="#000" stroke-width="{width:g}"{more} d="{data}"/>'


def _joined(lines: list[Polyline]) -> Iterator[Polyline]:
    """The lines, those that go on from bar to bar or from staff to staff in one piece."""
    level: dict[tuple[int, float], list[tuple[float, float]]] = defaultdict(list)
    for line in lines:
        (ax, ay), (bx, by) = line.points[0], line.points[-1]
        if len(line.points) == 2 and ay == by:
            level[0, ay].append((min(ax, bx), max(ax, bx)))
        elif len(line.points) == 2 and ax == bx:
            level[1, ax].append((min(ay, by), max(ay, by)))
        else:
            yield line
    width = lines[0].width
    for (upright, place), pieces in level.items():
        for start, end in _merged(sorted(pieces)):
            a, b = ((place, start), (place, end)) if upright else ((start, place), (end, place))
            yield Polyline((a, b), width)


def _merged(pieces: list[tuple[float, float]]) -> list[tuple[float, float]]:
    merged = pieces[:1]
    for start, end in pieces[1:]:
        if start <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    return merged


def _fill(edge: float, paths: list[str]) -> str:
    more = f' stroke="#000" stroke-width="{edge:g}" stroke-linejoin="round"' if edge else ""
    return f'<path{more} d="{"".join(paths)}"/>'


def _stamped(glyph: Glyph) -> str:
    x, y, rest = _stamp(glyph.code, glyph.scale, glyph.turned)
    return f"M{round(glyph.x) + x} {round(glyph.y) + y}{rest}" if rest else ""


@cache
def _stamp(code: str, scale: float, turned: bool) -> tuple[int, int, str]:
    """Where a glyph's outline begins, from its origin, and how it goes on from there."""
    path = Glyph(code, 0, 0, scale, turned).outline
    if not path.segments:
        return 0, 0, ""
    x, y = path.segments[0].points[0]
    return round(x), round(y), path.data().lstrip("M-0123456789 ")


def _text(hand: _Hand, lines: list[TextLine]) -> str:
    """Text of one kind: each line an element, single characters all in one, each with its place."""
    size, anchor, italic, bold, color = hand
    style = f' font-size="{size:.0f}"'
    style += f' text-anchor="{anchor}"' if anchor != "start" else ""
    style += ' font-style="italic"' if italic else ""
    style += ' font-weight="bold"' if bold else ""
    style += f' fill="{color}"' if color else ""
    single = [line for line in lines if len(line.text) == 1 and anchor == "start"]
    shown = [
        f'<text x="{line.x:.0f}" y="{line.y:.0f}"{style}>{escape(line.text, quote=False)}</text>'
        for line in lines
        if line not in single
    ]
    if single:
        xs = " ".join(f"{line.x:.0f}" for line in single)
        ys = " ".join(f"{line.y:.0f}" for line in single)
        text = escape("".join(line.text for line in single), quote=False)
        shown.append(f'<text x="{xs}" y="{ys}"{style}>{text}</text>')
    return "".join(shown)
