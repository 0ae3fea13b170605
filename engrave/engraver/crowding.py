"""Where there is room: boxes of ink, asked whether another box would touch them.

Enters: boxes. Leaves: the nearest free place above or below. Knows nothing of music.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from math import inf

from engrave.engraver.paths import Box

_COLUMN = 256
_APART = 0.01
"""Boxes that were moved apart are at least this far from each other, whatever rounding does."""


class Crowd:
    """Boxes by the columns of the page they stand in."""

    def __init__(self, boxes: Iterable[Box] = ()) -> None:
        self._columns: dict[int, list[Box]] = defaultdict(list)
        self.add(boxes)

    def add(self, boxes: Iterable[Box]) -> None:
        """Let more boxes stand."""
        for box in boxes:
            for column in self._span(box):
                self._columns[column].append(box)

    def only(self, wanted: Callable[[Box], bool]) -> "Crowd":
        """Those boxes alone that are wanted."""
        return Crowd({box for boxes in self._columns.values() for box in boxes if wanted(box)})

    def top_between(self, left: float, right: float) -> float:
        """The upper edge of the highest box between two edges; endless where there is none."""
        columns = range(int(left // _COLUMN), int(right // _COLUMN) + 1)
        near = (box for column in columns for box in self._columns[column])
        return min((box.top for box in near if box.left < right and box.right > left), default=inf)

    def free_above(self, box: Box) -> float:
        """How far up ``box`` must go to touch nothing: 0, or a negative distance."""
        return self._free(box, upwards=True)

    def free_below(self, box: Box) -> float:
        """How far down ``box`` must go to touch nothing."""
        return self._free(box, upwards=False)

    def _free(self, box: Box, *, upwards: bool) -> float:
        near = {other for column in self._span(box) for other in self._columns[column]}
        moved = box
        for other in sorted(near, key=lambda b: -b.bottom if upwards else b.top):
            if moved.meets(other):
                up, down = other.top - moved.bottom - _APART, other.bottom - moved.top + _APART
                moved = moved.moved(0, up if upwards else down)
        return moved.top - box.top

    @staticmethod
    def _span(box: Box) -> range:
        return range(int(box.left // _COLUMN), int(box.right // _COLUMN) + 1)
