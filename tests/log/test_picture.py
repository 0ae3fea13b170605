"""Marks over the days: a row a passage, every mark where its day and its share of the goal are."""

from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from fontTools.ttLib import TTFont

from engrave.booklet.workshop import font_file
from engrave.log.picture import HEAD_MM, LOWEST, ROW_MM, Curve, Point, marks_picture
from engrave.music.ranges import parse_range

SVG = "{http://www.w3.org/2000/svg}"
PERFORMANCE = date(2027, 2, 21)


def width(text: str, size: float) -> float:
    """Of a text in the face of the booklets, by its own metrics."""
    font = TTFont(font_file("Regular"))
    letters, metrics = font.getBestCmap(), font["hmtx"]
    units: int = sum(metrics[letters[ord(each)]][0] for each in text)
    return size * units / int(font["head"].unitsPerEm)


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
    size = float(root.get("font-size", ""))
    assert size >= 2.5  # some seven points, the least that is printed in a booklet
    assert all(width(name, size) <= first for name in names)


def test_without_days_there_are_rows_and_no_dots() -> None:
    drawn = marks_picture([Curve(1, parse_range("46"), 96, ())], None, 170)
    assert not [*ElementTree.fromstring(drawn.svg).iter(f"{SVG}circle")]


def dates_of(root: ElementTree.Element) -> list[tuple[float, str]]:
    """Where the dates stand under the rows, and what they say."""
    foot = max(float(node.get("y", "")) for node in root.iter(f"{SVG}text"))
    return [
        (float(node.get("x", "")), node.text or "")
        for node in root.iter(f"{SVG}text")
        if float(node.get("y", "")) == foot
    ]


def test_each_row_stands_under_the_one_before_it() -> None:
    root = drawing()
    goals = [path.get("d", "") for path in root.iter(f"{SVG}path")]
    assert [goal.partition("H")[0].split()[1] for goal in goals if goal.endswith("H166")] == [
        "6", "20", "26", "40",
    ]  # fmt: skip
    dots = [float(dot.get("cy", "")) for dot in root.iter(f"{SVG}circle")]
    assert dots[3] == 26  # at its goal


def test_what_was_played_as_written_is_drawn_larger_than_a_drill() -> None:
    radii = [float(dot.get("r", "")) for dot in drawing().iter(f"{SVG}circle")]
    assert radii[0] == radii[1] == radii[3] > radii[2]
    assert radii[2] > 0
    assert radii[0] < 1


def test_the_line_goes_through_the_best_of_each_day_as_written() -> None:
    told = (
        point(1, "1/2"), point(1, "5/8"), point(3, "3/4", is_clean=False),
        point(3, "1", whole=False), point(5, "7/8"),
    )  # fmt: skip
    root = ElementTree.fromstring(
        marks_picture([Curve(1, parse_range("4"), 96, told)], None, 170).svg
    )
    dots = [(dot.get("cx"), dot.get("cy")) for dot in root.iter(f"{SVG}circle")]
    lines = [path.get("d", "") for path in root.iter(f"{SVG}path")]
    assert f"M{' '.join(map(str, dots[1]))}L{' '.join(map(str, dots[4]))}" in lines


def test_one_mark_alone_is_a_dot_and_no_line() -> None:
    curve = Curve(1, parse_range("4"), 96, (point(1, "1/2"),))
    root = ElementTree.fromstring(marks_picture([curve], None, 170).svg)
    assert [path for path in root.iter(f"{SVG}path") if path.get("stroke-width") == ".3"] == []


def test_dates_stand_under_their_ticks_inside_the_paper() -> None:
    curve = Curve(1, parse_range("4"), 96, (point(1, "1/2"),))
    drawn = marks_picture([curve], date(2027, 3, 1), 170)
    root = ElementTree.fromstring(drawn.svg)
    dates = [node for node in root.iter(f"{SVG}text") if (node.text or "").endswith(("Feb", "Mar"))]
    assert len({node.get("y") for node in dates}) == 1
    assert 6 + 14 + 6 < float(dates[0].get("y", "")) < drawn.height_mm
    anchors = [node.get("text-anchor") for node in dates]
    assert anchors == ["start", *["middle"] * (len(dates) - 2), "end"]
    ticks = [path.get("d", "") for path in root.iter(f"{SVG}path") if "v-" in path.get("d", "")]
    assert [tick.split()[0] for tick in ticks] == [f"M{node.get('x')}" for node in dates]
    assert all(
        float(tick.split()[1].partition("v")[0]) < float(dates[0].get("y", "")) for tick in ticks
    )


@pytest.mark.parametrize(("number", "left"), [(1, 20), (10**60, 70)])
def test_names_take_twenty_to_seventy_millimetres(number: int, left: float) -> None:
    curve = Curve(number, parse_range("4"), 96, (point(1, "1/2"), point(2, "1")))
    root = ElementTree.fromstring(marks_picture([curve], None, 170).svg)
    assert [float(dot.get("cx", "")) for dot in root.iter(f"{SVG}circle")] == [left, 166]


def test_shares_beyond_the_row_stand_at_its_edges() -> None:
    told = (point(1, "1/10"), point(2, "2/5"), point(3, "1"), point(4, "3/2"))
    root = ElementTree.fromstring(
        marks_picture([Curve(1, parse_range("4"), 96, told)], None, 170).svg
    )
    low, foot, goal, over = (float(dot.get("cy", "")) for dot in root.iter(f"{SVG}circle"))
    assert low == foot == goal + 14
    assert goal - over == pytest.approx(14 / 12, abs=0.01)  # a twentieth of the goal, of 0.6 a row


def test_the_paper_is_as_high_as_its_rows_and_the_performance_stands_at_its_edge() -> None:
    drawn = marks_picture(CURVES, None, 170, PERFORMANCE)
    assert (drawn.width_mm, drawn.height_mm) == (170, 2 * (14 + 6) + 6 + 5)
    root = ElementTree.fromstring(drawn.svg)
    assert (root.get("width"), root.get("height")) == ("170mm", "51mm")
    thick = [path.get("d") for path in root.iter(f"{SVG}path") if path.get("stroke-width") == ".5"]
    assert thick == ["M166 1V46"]
    assert [float(dot.get("cx", "")) < 166 for dot in root.iter(f"{SVG}circle")] == [True] * 4


@pytest.mark.parametrize(
    ("days", "dates"),
    [
        (1, "1 Feb, 2 Feb"),
        (7, "1 Feb, 8 Feb"),
        (8, "1 Feb, 8 Feb, 9 Feb"),
        (20, "1 Feb, 8 Feb, 15 Feb, 21 Feb"),
        (55, "1 Feb, 8 Feb, 15 Feb, 22 Feb, 1 Mar, 8 Mar, 15 Mar, 28 Mar"),
        (60, "1 Feb, 8 Feb, 15 Feb, 22 Feb, 1 Mar, 8 Mar, 15 Mar, 22 Mar, 2 Apr"),
        (100, "1 Feb, 15 Feb, 1 Mar, 15 Mar, 29 Mar, 12 Apr, 26 Apr, 12 May"),
        (400, "1 Feb, 29 Mar, 24 May, 19 Jul, 13 Sep, 8 Nov, 3 Jan, 7 Mar"),
    ],
)
def test_dates_are_whole_weeks_apart_and_as_near_as_they_find_room(days: int, dates: str) -> None:
    """In 146 mm nine of them, 16 mm apart; of the last two that are nearer, the last."""
    end = date(2027, 2, 1) + timedelta(days=days)
    curve = Curve(1, parse_range("4"), 96, (point(1, "1/2"),))
    found = dates_of(ElementTree.fromstring(marks_picture([curve], end, 170).svg))
    assert ", ".join(said for _, said in found) == dates
    places = [x for x, _ in found]
    assert (places[0], places[-1]) == (20, 166)
    assert all(b - a >= 16 for a, b in pairwise(places))


@pytest.mark.parametrize(
    ("points", "last", "performance", "first"),
    [
        ((), None, PERFORMANCE, None),
        ((), None, None, None),
        ((), date(2027, 2, 3), PERFORMANCE, "3 Feb"),
        ((point(1, "1"),), date(2027, 2, 3), None, "1 Feb"),
    ],
)
def test_no_date_stands_under_rows_that_nothing_was_played_of(
    points: tuple[Point, ...], last: date | None, performance: date | None, first: str | None
) -> None:
    curve = Curve(1, parse_range("46"), 96, points)
    root = ElementTree.fromstring(marks_picture([curve], last, 170, performance).svg)
    said = [node.text or "" for node in root.iter(f"{SVG}text")]
    assert [text for text in said if text.endswith("Feb")][:1] == ([first] if first else [])
