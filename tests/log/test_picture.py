"""Marks over the days: a row a passage, every mark where its day and its share of the goal are."""

from datetime import date
from fractions import Fraction
from xml.etree import ElementTree

import pytest

from engrave.log.picture import HEAD_MM, LOWEST, ROW_MM, Curve, Point, marks_picture
from engrave.music.ranges import parse_range

SVG = "{http://www.w3.org/2000/svg}"
PERFORMANCE = date(2027, 2, 21)


def point(day: int, share: str, is_clean: bool = True, whole: bool = True) -> Point:
    return Point(date(2027, 2, day), Fraction(share), is_clean, whole)


CURVES = [
    Curve(
        1,
        parse_range("46–48.1"),
        96,
        (point(1, "1/2"), point(11, "3/4"), point(11, "5/8", False, False)),
    ),
    Curve(12, parse_range("103.2–104.3"), 60, (point(6, "1"),)),
]


def drawing(language: str = "en", last: date | None = None) -> ElementTree.Element:
    drawn = marks_picture(CURVES, last, 170, PERFORMANCE, language)
    root = ElementTree.fromstring(drawn.svg)
    assert root.get("viewBox") == f"0 0 170 {drawn.height_mm:g}"
    return root


@pytest.mark.parametrize("language", ["en", "de"])
def test_every_mark_stands_at_its_day_and_share(language: str) -> None:
    dots = [*drawing(language).iter(f"{SVG}circle")]
    x = [float(dot.get("cx", "")) for dot in dots]
    y = [float(dot.get("cy", "")) for dot in dots]
    assert len(dots) == 4
    assert x[1] == x[2]
    assert x[1] - x[0] == pytest.approx(2 * (x[3] - x[0]), abs=0.03)
    heights = [(1 - float(each)) / (1 - LOWEST) * ROW_MM + HEAD_MM for each in (0.5, 0.75, 0.625)]
    assert y[:3] == pytest.approx(heights, abs=0.02)
    assert [dot.get("fill") for dot in dots] == ["#000", "#000", "#fff", "#000"]


@pytest.mark.parametrize("language", ["en", "de"])
def test_names_end_before_the_first_day(language: str) -> None:
    root = drawing(language)
    first = min(float(dot.get("cx", "")) for dot in root.iter(f"{SVG}circle"))
    names = [node.text or "" for node in root.iter(f"{SVG}text") if node.get("x") == "0"]
    assert len(names) == len(CURVES)
    assert all(1.45 * len(name) <= first for name in names)


def test_without_days_there_are_rows_and_no_dots() -> None:
    drawn = marks_picture([Curve(1, parse_range("46"), 96, ())], None, 170)
    assert not [*ElementTree.fromstring(drawn.svg).iter(f"{SVG}circle")]
