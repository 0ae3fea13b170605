"""Systems set one under the other, and divided into pictures where they are too high.

Enters: lines of shapes. Leaves: pictures, each cut to its ink.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

from engrave.engraver.paths import Box, around
from engrave.engraver.printing import svg
from engrave.engraver.shapes import Shape
from engrave.engraver.style import Picture, Style
from engrave.engraver.toolkit import SPACE, STAFF

GAP = 2.6 * SPACE
"""Between the ink of one system and that of the next."""

EDGE = 0.1 * SPACE
"""Around a picture, so that rounding cuts nothing off."""


@dataclass(frozen=True, slots=True)
class Line:
    """One system, finished: its shapes and the top lines of its staves."""

    shapes: tuple[Shape, ...]
    staff_tops: tuple[float, ...]

    @property
    def box(self) -> Box:
        """The box of all its ink."""
        return around([box for shape in self.shapes for box in shape.boxes()])


def stack(lines: Sequence[Line], style: Style) -> list[Picture]:
    """The pictures of all ``lines``, the fewest that fit, of heights as even as may be."""
    boxes = [line.box for line in lines]
    mm = style.staff_height_mm / STAFF
    heights = [box.bottom - box.top for box in boxes]
    edges = (0, *_divide(heights, style.max_height_mm / mm - 2 * EDGE), len(lines))
    return [_picture(lines[start:end], boxes[start:end], style) for start, end in pairwise(edges)]


def _divide(heights: Sequence[float], limit: float) -> tuple[int, ...]:
    """Before which systems a new picture begins: fewest pictures, then the lowest highest one."""
    best: list[tuple[int, float, tuple[int, ...]]] = [(0, 0.0, ())]
    for end in range(1, len(heights) + 1):
        choices = []
        for start in range(end - 1, -1, -1):
            height = sum(heights[start:end]) + GAP * (end - start - 1)
            if height > limit and start < end - 1:
                break
            pictures, highest, breaks = best[start]
            choices.append((pictures + 1, max(highest, height), (*breaks, start)))
        best.append(min(choices))
    return best[-1][2][1:]


def _picture(lines: Sequence[Line], boxes: Sequence[Box], style: Style) -> Picture:
    shapes: list[Shape] = []
    tops: list[float] = []
    now = 0.0
    for line, box in zip(lines, boxes, strict=True):
        down = round(now - box.top)
        shapes += [shape.moved(0, down) for shape in line.shapes]
        tops += [top + down for top in line.staff_tops]
        now = box.bottom + down + GAP
    left, right = min(box.left for box in boxes), max(box.right for box in boxes)
    whole = Box(floor(left - EDGE), floor(-EDGE), ceil(right + EDGE), ceil(now - GAP + EDGE))
    mm = style.staff_height_mm / STAFF
    return Picture(
        svg(shapes, whole, mm),
        (whole.right - whole.left) * mm,
        (whole.bottom - whole.top) * mm,
        len(lines),
        style.staff_height_mm,
        tuple((top - whole.top) * mm for top in tops),
    )
