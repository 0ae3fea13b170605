"""Outlines: SVG path data in, absolute segments out, and back again.

Knows straight lines and Bézier curves (SVG 1.1, 8.3), which is all that verovio and its fonts draw.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

Point = tuple[float, float]

_TOKEN = re.compile(r"[A-Za-z]|-?\d*\.?\d+(?:e-?\d+)?")
_COUNT = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "Z": 0}


class Box(NamedTuple):
    """A rectangle, ``top`` above ``bottom``: y grows downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, dx: float, dy: float) -> "Box":
        """The same box elsewhere."""
        return Box(self.left + dx, self.top + dy, self.right + dx, self.bottom + dy)

    def widened(self, x: float, y: float) -> "Box":
        """The box with ``x`` more on the left and right, ``y`` more above and below."""
        return Box(self.left - x, self.top - y, self.right + x, self.bottom + y)

    def meets(self, other: "Box") -> bool:
        """Whether the two overlap."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )


def around(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds all of ``boxes``, of which there is at least one."""
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


@dataclass(frozen=True, slots=True)
class Segment:
    """A straight line (one point: its end) or a cubic curve (three), or ``M`` or ``Z``."""

    command: str
    points: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class Contour:
    """Lines and curves in absolute coordinates."""

    segments: tuple[Segment, ...]

    def mapped(self, change: Callable[[Point], Point]) -> "Contour":
        """The outline with every point changed."""
        return Contour(
            tuple(Segment(s.command, tuple(change(p) for p in s.points)) for s in self.segments)
        )

    def data(self) -> str:
        """SVG path data in whole units, relative from the first point on."""
        words: list[str] = []
        now = start = (0, 0)
        for segment in self.segments:
            if segment.command == "Z":
                words.append("z")
                now = start
                continue
            ends = [(round(x), round(y)) for x, y in segment.points]
            command = segment.command.lower() if words else "M"
            words.append(command + " ".join(f"{x - now[0]} {y - now[1]}" for x, y in ends))
            now = ends[-1]
            start = now if segment.command == "M" else start
        return "".join(words).replace(" -", "-")

    def points(self) -> Iterator[Point]:
        """Points along the outline, close enough together to stand for it (a space or nearer)."""
        now = start = (0.0, 0.0)
        for segment in self.segments:
            if segment.command == "M":
                now = start = segment.points[0]
                yield now
            elif segment.command == "C":
                yield from _curve((now, *segment.points))
                now = segment.points[-1]
            else:
                end = segment.points[0] if segment.points else start
                yield from _line(now, end)
                now = end

    def boxes(self, thickness: float = 0) -> list[Box]:
        """Small boxes that cover the outline."""
        points = list(self.points())
        pairs = pairwise(points) if len(points) > 1 else [(points[0], points[0])]
        return [
            Box(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)).widened(
                thickness / 2, thickness / 2
            )
            for (ax, ay), (bx, by) in pairs
        ]


def _line(start: Point, end: Point) -> Iterator[Point]:
    steps = 1 + int(abs(end[0] - start[0]) // 120) if start[1] != end[1] else 1
    for n in range(1, steps + 1):
        part = n / steps
        yield (start[0] + part * (end[0] - start[0]), start[1] + part * (end[1] - start[1]))


def _curve(control: tuple[Point, ...]) -> Iterator[Point]:
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = control
    steps = 4 + int(abs(dx - ax) // 120)
    for n in range(1, steps + 1):
        t = n / steps
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        yield (a * ax + b * bx + c * cx + d * dx, a * ay + b * by + c * cy + d * dy)


def polygon(points: list[Point]) -> Contour:
    """A closed outline through ``points``, always turning the same way.

    Outlines that overlap in one SVG path would cancel each other if they turned in opposite ways.
    """
    area = sum(ax * by - bx * ay for (ax, ay), (bx, by) in pairwise([*points, points[0]]))
    if area < 0:
        points = points[::-1]
    return Contour(
        (Segment("M", (points[0],)), *(Segment("L", (p,)) for p in points[1:]), Segment("Z"))
    )


def ellipse(x: float, y: float, rx: float, ry: float) -> Contour:
    """An ellipse around ``x``, ``y`` as four curves."""
    kx, ky = 0.5523 * rx, 0.5523 * ry  # the usual approximation, 0.03 % off
    top, right, bottom, left = (x, y - ry), (x + rx, y), (x, y + ry), (x - rx, y)
    curves = (
        ((x + kx, y - ry), (x + rx, y - ky), right),
        ((x + rx, y + ky), (x + kx, y + ry), bottom),
        ((x - kx, y + ry), (x - rx, y + ky), left),
        ((x - rx, y - ky), (x - kx, y - ry), top),
    )
    return Contour((Segment("M", (top,)), *(Segment("C", curve) for curve in curves), Segment("Z")))


def parse(data: str) -> Contour:
    """The outline that SVG path ``data`` describes."""
    reader = _Reader()
    command = ""
    numbers: list[float] = []
    for token in _TOKEN.findall(data):
        if token.isalpha():
            command = token
            if command in "Zz":
                reader.take(command, [])
            continue
        numbers.append(float(token))
        if len(numbers) == _COUNT[command.upper()]:
            reader.take(command, numbers)
            numbers = []
            if command in "Mm":
                command = "L" if command == "M" else "l"
    return Contour(tuple(reader.segments))


class _Reader:
    """The pen while path data is read: where it is, where the outline began, the last control.

    A smooth curve goes on from the control of one of its own degree (``kin``) alone.
    """

    def __init__(self) -> None:
        self.segments: list[Segment] = []
        self.now: Point = (0.0, 0.0)
        self.start: Point = (0.0, 0.0)
        self.control: Point = (0.0, 0.0)
        self.kin = ""

    def take(self, command: str, numbers: list[float]) -> None:
        """One command with its numbers."""
        kind, x0, y0 = command.upper(), *self.now
        dx, dy = (x0, y0) if command.islower() else (0.0, 0.0)
        if kind == "H":
            points: list[Point] = [(numbers[0] + dx, y0)]
        elif kind == "V":
            points = [(x0, numbers[0] + dy)]
        else:
            points = [(x + dx, y + dy) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
        if kind == "M":
            self.start = points[0]
        if kind == "Z":
            self._add("Z", ())
            self.now = self.control = self.start
            self.kin = ""
            return
        if kind in "ST":
            if kind not in self.kin:
                self.control = self.now
            points.insert(0, (2 * x0 - self.control[0], 2 * y0 - self.control[1]))
        if kind in "QT":
            (qx, qy), (x, y) = points
            self.control = (qx, qy)
            third = [(x0 + 2 * (qx - x0) / 3, y0 + 2 * (qy - y0) / 3)]
            self._add("C", (*third, (x + 2 * (qx - x) / 3, y + 2 * (qy - y) / 3), (x, y)))
        else:
            self._add({"S": "C", "H": "L", "V": "L"}.get(kind, kind), tuple(points))
            self.control = points[-2] if kind in "CS" else points[-1]
        self.now = points[-1]
        self.kin = {"C": "CS", "S": "CS", "Q": "QT", "T": "QT"}.get(kind, "")

    def _add(self, command: str, points: tuple[Point, ...]) -> None:
        self.segments.append(Segment(command, points))
