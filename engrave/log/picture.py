"""Marks over the days, drawn: a row a passage, the goal above, the performance at the right.

Enters: curves, a stretch of days, a width. Leaves: SVG, in millimetres. Every mark is drawn as a
share of the goal of its own drill, so that drills of unlike beats stand in one row.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from html import escape

from engrave.music.ranges import MeasureRange
from engrave.remarks import Remark
from engrave.words import say

ROW_MM = 14.0
"""From the lowest share that is drawn up to the goal."""
LOWEST = 0.4
"""The share at the foot of a row: ladders start at half the goal unless the teacher says lower."""
LETTER_MM = 1.5
"""About; names are given so much room a letter."""
LEAST_NAME_MM, MOST_NAME_MM = 20.0, 70.0
EDGE_MM = 4.0
HEAD_MM, FOOT_MM = 6.0, 5.0
TEXT_MM = 2.9
DATES_MM = 16.0
"""The least distance of two dates."""


@dataclass(frozen=True, slots=True)
class Point:
    """A mark on a day, as a share of its drill's goal; ``whole``: of the passage as written."""

    day: date
    share: Fraction
    is_clean: bool
    whole: bool


@dataclass(frozen=True, slots=True)
class Curve:
    """A passage by its number and measures, its goal, and its points in the order of days."""

    number: int
    measures: MeasureRange
    goal: int
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class MarksPicture:
    """The drawing, with its size on paper."""

    svg: bytes
    width_mm: float
    height_mm: float


def marks_picture(
    curves: Sequence[Curve],
    last: date | None,
    width_mm: float,
    performance: date | None = None,
    language: str = "en",
) -> MarksPicture:
    """The rows of ``curves``, from their first day to ``performance`` or to ``last``.

    Where there is neither a day of practice nor a ``last``, no dates stand under them.
    """
    days = [point.day for curve in curves for point in curve.points]
    first = min(days, default=last)
    start = first or performance or date.min
    end = max(filter(None, (performance, last, *days)), default=start)
    end = max(end, start + timedelta(days=1))
    names = [_name(curve, language) for curve in curves]
    room = LETTER_MM * max(map(len, names), default=0)
    left = min(max(room, LEAST_NAME_MM), MOST_NAME_MM)
    scale = _Days(start, end, left, width_mm - EDGE_MM)
    height = HEAD_MM + len(curves) * (ROW_MM + HEAD_MM) + FOOT_MM
    title = say(Remark.of("marks.title", count=len(curves)), language)
    parts = [f"<title>{escape(title)}</title>"]
    for index, curve in enumerate(curves):
        top = HEAD_MM + index * (ROW_MM + HEAD_MM)
        parts += _row(curve, top, scale, language)
    foot = height - FOOT_MM
    if performance and performance == scale.end:
        x = scale.x(performance)
        parts.append(f'<path d="M{_n(x)} 1V{_n(foot)}" stroke="#000" stroke-width=".5"/>')
    if first:
        parts += _dates(scale, foot, language)
    return MarksPicture(_svg(parts, width_mm, height), width_mm, height)


@dataclass(frozen=True, slots=True)
class _Days:
    """Days laid out from ``left`` to ``right``."""

    start: date
    end: date
    left: float
    right: float

    def x(self, day: date) -> float:
        """Where a day stands."""
        return self.left + (self.right - self.left) * (
            (day - self.start).days / (self.end - self.start).days
        )


def _row(curve: Curve, top: float, scale: _Days, language: str) -> Iterator[str]:
    """A passage's row: the goal's line, the best of the passage as written, every mark a dot."""

    def y(share: Fraction) -> float:
        return top + ROW_MM * (1 - (min(max(float(share), LOWEST), 1.05) - LOWEST) / (1 - LOWEST))

    yield _text(0, top + ROW_MM / 2, _name(curve, language))
    yield f'<path d="M{_n(scale.left)} {_n(top)}H{_n(scale.right)}" stroke="#767676"/>'
    goal = say(Remark.of("marks.goal", mark=curve.goal), language)
    yield _text(scale.left, top - 0.8, goal)
    yield (
        f'<path d="M{_n(scale.left)} {_n(top + ROW_MM)}H{_n(scale.right)}" stroke="#767676" '
        'stroke-dasharray=".5 1"/>'
    )
    best = _best(curve.points)
    if len(best) > 1:
        line = "L".join(f"{_n(scale.x(each.day))} {_n(y(each.share))}" for each in best)
        yield f'<path d="M{line}" fill="none" stroke="#000" stroke-width=".3"/>'
    for each in curve.points:
        size = 0.85 if each.whole else 0.55
        fill = "#000" if each.is_clean else "#fff"
        yield (
            f'<circle cx="{_n(scale.x(each.day))}" cy="{_n(y(each.share))}" r="{size}" '
            f'fill="{fill}" stroke="#000"/>'
        )


def _name(curve: Curve, language: str) -> str:
    name = Remark.of("marks.row", number=curve.number, measures=curve.measures)
    return say(name, language)


def _best(points: Sequence[Point]) -> list[Point]:
    """Of each day the highest clean mark of the passage as written, else of its drills."""
    whole = [each for each in points if each.is_clean and each.whole]
    clean = whole or [each for each in points if each.is_clean]
    by_day = {each.day: each for each in sorted(clean, key=lambda each: (each.day, each.share))}
    return list(by_day.values())


def _dates(scale: _Days, y: float, language: str) -> Iterator[str]:
    """The first and the last day, and those between for which there is room."""
    room = int((scale.right - scale.left) // DATES_MM)
    weeks = (scale.end - scale.start).days // 7
    step = 7 * max(1, -(-weeks // max(1, room - 1)))
    between = range(step, (scale.end - scale.start).days, step)
    days = [scale.start, *(scale.start + timedelta(days=n) for n in between), scale.end]
    if len(days) > 2 and scale.x(days[-1]) - scale.x(days[-2]) < DATES_MM:
        del days[-2]
    for day in days:
        anchor = "start" if day == scale.start else "end" if day == scale.end else "middle"
        said = say(Remark.of("tempo.day", date=day), language)
        yield f'<path d="M{_n(scale.x(day))} {_n(y - 1.2)}v-1.2" stroke="#000"/>'
        yield _text(scale.x(day), y + 2.2, said, anchor)


def _text(x: float, y: float, text: str, anchor: str = "start") -> str:
    return f'<text x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}">{escape(text)}</text>'


def _svg(parts: Sequence[str], width_mm: float, height: float) -> bytes:
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(width_mm)}mm" '
        f'height="{_n(height)}mm" viewBox="0 0 {_n(width_mm)} {_n(height)}" '
        f'font-family="Source Serif Pro" font-size="{TEXT_MM}" stroke-width=".15">'
    )
    text = "".join(parts).replace("<text ", '<text stroke="none" ')
    return (head + text + "</svg>\n").encode()


def _n(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
