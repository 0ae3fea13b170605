"""Outlines as another reader reads them: fontTools' parser of SVG path data (SVG 1.1, 8.3)."""

import re
from collections.abc import Iterator
from itertools import islice

import pytest
from fontTools.svgLib.path.parser import parse_path
from hypothesis import given
from hypothesis import strategies as st

from engrave.engraver.glyphs import FONT
from engrave.engraver.paths import Point, parse
from engrave.engraver.toolkit import font_folder

Drawn = list[tuple[str, tuple[Point, ...]]]


class _Pen:
    """Notes what fontTools draws; a quadratic curve as the cubic one that is the same.

    It draws the line with which an outline closes, which SVG leaves to ``Z``.
    """

    def __init__(self) -> None:
        self.drawn: Drawn = []
        self.start: Point = (0.0, 0.0)

    def moveTo(self, point: Point) -> None:  # noqa: N802
        self.start = point
        self.drawn.append(("M", (point,)))

    def lineTo(self, point: Point) -> None:  # noqa: N802
        self.drawn.append(("L", (point,)))

    def curveTo(self, *points: Point) -> None:  # noqa: N802
        self.drawn.append(("C", points))

    def qCurveTo(self, control: Point, end: Point) -> None:  # noqa: N802
        now = self.drawn[-1][1][-1] if self.drawn[-1][1] else self.start
        inner = [
            (at[0] + 2 * (control[0] - at[0]) / 3, at[1] + 2 * (control[1] - at[1]) / 3)
            for at in (now, end)
        ]
        self.curveTo(*inner, end)

    def closePath(self) -> None:  # noqa: N802
        if self.drawn[-1] == ("L", (self.start,)):
            self.drawn.pop()
        self.drawn.append(("Z", ()))

    def endPath(self) -> None:  # noqa: N802
        pass


def theirs(data: str) -> Drawn:
    pen = _Pen()
    parse_path(data, pen)
    return _rounded(pen.drawn)


def ours(data: str) -> Drawn:
    found: Drawn = []
    for segment in parse(data).segments:
        if segment.command == "M":
            start = segment.points
        if segment.command == "Z" and found[-1] == ("L", start):
            found.pop()
        found.append((segment.command, segment.points))
    return _rounded(found)


def _rounded(drawn: Drawn) -> Drawn:
    return [(kind, tuple((round(x, 4), round(y, 4)) for x, y in points)) for kind, points in drawn]


def glyphs() -> Iterator[str]:
    """The outlines of verovio's music font."""
    for path in sorted((font_folder() / FONT).glob("*.xml")):
        yield from re.findall(r' d="([^"]+)"', path.read_text("utf-8"))


def test_the_outlines_of_the_music_font() -> None:
    found = list(islice(glyphs(), 0, None, 10))
    assert len(found) > 50
    for data in found:
        assert ours(data) == theirs(data)


numbers = st.integers(-999, 999) | st.integers(-9999, 9999).map(lambda n: n / 10)
commands = st.sampled_from("LlHhVvCcSsQqTt").flatmap(
    lambda command: st.tuples(
        st.just(command),
        st.lists(
            numbers,
            min_size={"H": 1, "V": 1, "L": 2, "T": 2, "S": 4, "Q": 4, "C": 6}[command.upper()],
            max_size={"H": 1, "V": 1, "L": 2, "T": 2, "S": 4, "Q": 4, "C": 6}[command.upper()],
        ),
    )
)
outlines = st.tuples(numbers, numbers, st.lists(commands, min_size=1, max_size=8))


@given(st.lists(outlines, min_size=1, max_size=3), st.sampled_from([" ", ","]))
def test_whatever_the_commands(
    made: list[tuple[float, float, list[tuple[str, list[float]]]]], between: str
) -> None:
    data = "".join(
        f"M{x}{between}{y}"
        + "".join(command + between.join(map(str, given)) for command, given in drawn)
        + "z"
        for x, y, drawn in made
    )
    assert ours(data) == theirs(data)


@pytest.mark.parametrize(
    "data", ["M0 0 10 0 10 10z", "m5 5 10 0l0 10 -10 0z", "M0-5L-3.5.5 1e1 0", "M0 0h5v5zl1 1"]
)
def test_commands_left_out_and_signs_for_spaces(data: str) -> None:
    assert ours(data)[:3] == theirs(data)[:3]
