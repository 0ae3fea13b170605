"""What is drawn: strokes, filled outlines, glyphs of the music font and text, in verovio's units.

Every shape knows the small boxes that cover its ink, and itself elsewhere. Shapes have no slots:
everything that gives way asks for the boxes, which are worked out once.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from engrave.engraver.glyphs import glyph, text_width
from engrave.engraver.paths import Box, Contour, Point, Segment

GREY = "#6b6b6b"
"""Of what is only suggested: 5.3 : 1 on white (WCAG 2.2 asks for 4.5 : 1)."""


@dataclass(frozen=True)
class Polyline:
    """A line through points, of even width; ``cap`` as in SVG, ``dash`` its dashes."""

    points: tuple[Point, ...]
    width: float
    cap: str = "butt"
    dash: str = ""

    @property
    def path(self) -> Contour:
        """The line as an open path."""
        first, *rest = self.points
        return Contour((Segment("M", (first,)), *(Segment("L", (point,)) for point in rest)))

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """Boxes that cover the ink."""
        return tuple(self.path.boxes(self.width))

    def moved(self, dx: float, dy: float) -> "Polyline":
        """The same, elsewhere."""
        return replace(self, points=tuple((x + dx, y + dy) for x, y in self.points))


@dataclass(frozen=True)
class Fill:
    """A filled outline; ``edge`` is the width of the line around it."""

    path: Contour
    edge: float = 0

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """Boxes that cover the outline (what it encloses is too thin to hold anything)."""
        return tuple(self.path.boxes(self.edge))

    def moved(self, dx: float, dy: float) -> "Fill":
        """The same, elsewhere."""
        return replace(self, path=self.path.mapped(lambda point: (point[0] + dx, point[1] + dy)))


@dataclass(frozen=True)
class Glyph:
    """A glyph by its SMuFL code point; ``turned`` a quarter to the left (the arpeggio's wave)."""

    code: str
    x: float
    y: float
    scale: float
    turned: bool = False

    @property
    def outline(self) -> Contour:
        """The outline around the glyph's own origin, in units."""
        return glyph(self.code).path.mapped(self._place)

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """The box of the ink."""
        left, top, right, bottom = glyph(self.code).box
        (ax, ay), (bx, by) = self._place((left, top)), self._place((right, bottom))
        box = Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))
        return (box.moved(self.x, self.y),)

    def moved(self, dx: float, dy: float) -> "Glyph":
        """The same, elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)

    def _place(self, point: Point) -> Point:
        x, y = point[0] * self.scale, point[1] * self.scale
        return (y, -x) if self.turned else (x, y)


@dataclass(frozen=True)
class TextLine:
    """A line of text on its base line; ``anchor`` is ``start`` or ``middle``."""

    text: str
    x: float
    y: float
    size: float
    anchor: str = "start"
    italic: bool = False
    bold: bool = False
    color: str = ""

    @property
    def width(self) -> float:
        """Width, never less than it will be."""
        return text_width(self.text, self.size)

    @cached_property
    def boxes(self) -> tuple[Box, ...]:
        """The box of the ink: figures and capitals are 0.68 of the size high (Source Serif Pro)."""
        left = self.x - self.width / 2 if self.anchor == "middle" else self.x
        below = 0.25 if any(letter in "gjpqyQ,;()[]{}|ß" for letter in self.text) else 0.02
        top, bottom = self.y - 0.68 * self.size, self.y + below * self.size
        return (Box(left, top, left + self.width, bottom),)

    def moved(self, dx: float, dy: float) -> "TextLine":
        """The same, elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


Shape = Polyline | Fill | Glyph | TextLine
