"""Staves in a picture: five thin dark lines at even distances, found in the pixels.

Enters: a greyscale array, 0 black. Leaves: the staves, in pixels. Text, beams and boxes are no
staves: their lines are too short, too thick, or not five at one distance.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

Grey = NDArray[np.uint8]
DARK = 180


@dataclass(frozen=True)
class Line:
    """A thin horizontal line: its rows ``top`` to ``bottom`` and its columns."""

    top: int
    bottom: int
    left: int
    right: int

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


@dataclass(frozen=True)
class Staff:
    lines: tuple[Line, ...]

    @property
    def height(self) -> float:
        """From the middle of the first line to that of the fifth, in pixels."""
        return self.lines[-1].middle - self.lines[0].middle

    @property
    def box(self) -> tuple[int, int, int, int]:
        """Left, top, right, bottom, in pixels."""
        return (
            min(line.left for line in self.lines),
            self.lines[0].top,
            max(line.right for line in self.lines),
            self.lines[-1].bottom,
        )


def find_staves(grey: Grey, pixels_per_mm: float, shortest_mm: float = 9.0) -> list[Staff]:
    """All staves, from top to bottom; five lines 1 to 3 mm apart, evenly to 0.2 mm."""
    lines = _lines(grey, pixels_per_mm, shortest_mm)
    staves: list[Staff] = []
    taken: set[Line] = set()
    slack = max(0.2 * pixels_per_mm, 1.0)
    for first, second in combinations(lines, 2):
        step = second.middle - first.middle
        if first in taken or not 1.0 * pixels_per_mm <= step <= 3.0 * pixels_per_mm:
            continue
        staff = [first]
        for number in range(1, 5):
            wanted = first.middle + number * step
            match = [
                line
                for line in lines
                if line not in taken
                and abs(line.middle - wanted) <= slack
                and abs(line.left - first.left) <= 2 * slack
                and abs(line.right - first.right) <= 2 * slack
            ]
            if match:
                staff.append(min(match, key=lambda line: abs(line.middle - wanted)))
        if len(staff) == 5:
            staves.append(Staff(tuple(staff)))
            taken.update(staff)
    return sorted(staves, key=lambda staff: staff.box[1])


def _lines(grey: Grey, pixels_per_mm: float, shortest_mm: float) -> list[Line]:
    """Dark rows that reach ``shortest_mm`` without a gap, no thicker than 0.45 mm, joined."""
    runs = [
        Line(row, row, left, right)
        for row in range(grey.shape[0])
        for left, right in _runs(grey[row] < DARK, int(shortest_mm * pixels_per_mm))
    ]
    joined: list[Line] = []
    for run in runs:
        for index, line in enumerate(joined):
            if line.bottom == run.top - 1 and _alike(line, run, pixels_per_mm):
                joined[index] = Line(
                    line.top, run.bottom, min(line.left, run.left), max(line.right, run.right)
                )
                break
        else:
            joined.append(run)
    thickest = max(0.45 * pixels_per_mm, 2.0)
    return [line for line in joined if line.bottom - line.top + 1 <= thickest]


def _alike(line: Line, run: Line, pixels_per_mm: float) -> bool:
    """Whether both have the same ends; a beam that lies on a staff line ends before it."""
    slack = 0.3 * pixels_per_mm
    return abs(line.left - run.left) <= slack and abs(line.right - run.right) <= slack


def _runs(dark: NDArray[np.bool_], shortest: int) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(np.int8), [0]))))
    return [
        (int(start), int(end) - 1)
        for start, end in zip(edges[::2], edges[1::2], strict=True)
        if end - start >= shortest
    ]


def ink_share(grey: Grey, staff: Staff) -> float:
    """How much of the spaces between the staff's lines is inked: notes, stems, clefs, rests."""
    left, _, right, _ = staff.box
    spaces = [
        grey[above.bottom + 2 : below.top - 1, left : right + 1] < DARK
        for above, below in zip(staff.lines, staff.lines[1:], strict=False)
    ]
    inked = sum(int(space.sum()) for space in spaces)
    return inked / max(sum(space.size for space in spaces), 1)


def ink_box(grey: Grey) -> tuple[int, int, int, int] | None:
    """Left, top, right, bottom of all that is not white; None for an empty picture."""
    rows, columns = (
        np.flatnonzero((grey < 250).any(axis=1)),
        np.flatnonzero((grey < 250).any(axis=0)),
    )
    if not rows.size:
        return None
    return int(columns[0]), int(rows[0]), int(columns[-1]), int(rows[-1])
