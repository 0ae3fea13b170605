"""Pictures are of true size, whole, and the same every time."""

import os
import re
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree

import numpy as np
import pytest

from engrave.engraver import Engraving, Picture, Style, engrave
from engrave.engraver.engraving import finished
from engrave.errors import EngraveError
from engrave.music.sheet import Direction, Sheet
from tests.engraver import gallery
from tests.engraver.raster import MM_PER_INCH, Ink, drawn, printed, view_box
from tests.engraver.touching import pairs
from tests.sheets import bar, events, sheet

STYLES = [Style(7.0, 170, 250), Style(8.0, 180, 60)]
DPI = 300


def all_pictures() -> list[tuple[str, Picture, Sheet]]:
    return [
        (f"{made.__name__}-{style.staff_height_mm:g}-{number}", picture, made())
        for made in gallery.ALL
        for style in STYLES
        for number, picture in enumerate(engrave(made(), style).pictures)
    ]


PICTURES = [pytest.param(picture, id=name) for name, picture, _ in all_pictures()]


def staff_line_rows(ink: Ink, top_mm: float, staff_mm: float) -> list[int]:
    """Rows around one staff that are inked over most of the width of the drawing there."""
    above, below = (round(mm / MM_PER_INCH * DPI) for mm in (top_mm - 0.4, top_mm + staff_mm + 0.4))
    region = ink[max(above, 0) : below]
    columns = np.flatnonzero(region.any(axis=0))
    inside = region[:, columns[0] : columns[-1] + 1]
    return [int(row) + max(above, 0) for row in np.flatnonzero(inside.mean(axis=1) > 0.8)]


@pytest.mark.parametrize("picture", PICTURES)
def test_every_staff_is_inked_on_the_page_and_of_true_height(picture: Picture) -> None:
    """To 0.05 mm, measured in pixels; five lines, and notes between them."""
    ink = printed(picture.svg, picture.width_mm, picture.height_mm, DPI)
    assert picture.staves == len(picture.staff_tops_mm) > 0
    for top in picture.staff_tops_mm:
        rows = staff_line_rows(ink, top, picture.staff_height_mm)
        lines = [row for row in rows if row - 1 not in rows]
        assert len(lines) == 5
        height = (lines[-1] - lines[0]) / DPI * MM_PER_INCH
        assert height == pytest.approx(picture.staff_height_mm, abs=MM_PER_INCH / DPI + 0.01)
        spaces = [row for row in range(lines[0], lines[-1]) if row not in rows]
        assert ink[spaces].mean() > 0.02


@pytest.mark.parametrize("picture", PICTURES)
def test_staff_height_in_the_vectors(picture: Picture) -> None:
    _, _, width, height = view_box(picture.svg)
    mm = picture.width_mm / width
    root = ElementTree.fromstring(picture.svg)
    assert float(root.get("width", "").removesuffix("mm")) == pytest.approx(
        picture.width_mm, abs=1e-3
    )
    assert picture.height_mm == pytest.approx(height * mm, abs=0.01)
    longest = re.findall(r"M-?\d+ (-?\d+)l(\d+) 0(?=[Mm]|$)", _stroke_data(root, "13"))
    lines = sorted({int(y) for y, length in longest if int(length) > 1500})
    for top, bottom in zip(lines[::5], lines[4::5], strict=True):
        assert (bottom - top) * mm == pytest.approx(picture.staff_height_mm, abs=0.05)


def _stroke_data(root: ElementTree.Element, width: str) -> str:
    return "".join(path.get("d", "") for path in root.iter() if path.get("stroke-width") == width)


@pytest.mark.parametrize("picture", PICTURES)
def test_nothing_is_cut_off(picture: Picture) -> None:
    """The same drawing on a larger canvas has no ink outside the picture, and a rim without any."""
    left, top, width, height = view_box(picture.svg)
    mm = picture.width_mm / width
    rim = round(3 / mm)
    larger = picture.svg.replace(
        b'viewBox="%d %d %d %d"' % (left, top, width, height),
        b'viewBox="%d %d %d %d"' % (left - rim, top - rim, width + 2 * rim, height + 2 * rim),
    )
    assert larger != picture.svg
    edge = 2 * rim * mm
    ink = drawn(larger, picture.width_mm + edge, picture.height_mm + edge, DPI)
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    pixel = MM_PER_INCH / DPI
    assert rows[0] * pixel >= rim * mm - pixel
    assert columns[0] * pixel >= rim * mm - pixel
    assert rows[-1] * pixel <= rim * mm + picture.height_mm + pixel
    assert columns[-1] * pixel <= rim * mm + picture.width_mm + pixel


@pytest.mark.parametrize("style", STYLES)
def test_pictures_keep_to_the_size_that_was_asked(style: Style) -> None:
    for made in gallery.ALL:
        engraving = engrave(made(), style)
        for picture in engraving.pictures:
            assert picture.width_mm <= style.width_mm + 0.01
            assert picture.height_mm <= style.max_height_mm or picture.systems == 1


def systems(engraving: Engraving) -> list[int]:
    return [picture.systems for picture in engraving.pictures]


def test_music_too_high_is_divided_between_systems() -> None:
    whole = engrave(gallery.long_line(), Style(7.0, 170, 250))
    assert systems(whole) == [4]
    parts = engrave(gallery.long_line(), Style(7.0, 170, 50))
    assert systems(parts) == [2, 2]
    assert systems(engrave(gallery.long_line(), Style(7.0, 170, 5))) == [1, 1, 1, 1]


def test_short_music_keeps_its_natural_width() -> None:
    (narrow,) = engrave(gallery.long_short(), Style(7.0, 100, 250)).pictures
    (wide,) = engrave(gallery.long_short(), Style(7.0, 190, 250)).pictures
    assert narrow.svg == wide.svg
    assert wide.width_mm < 80


def test_words_at_the_end_of_a_full_line_stay_inside_it() -> None:
    made = gallery.long_line()
    words = Direction(Fraction(3, 2), 1, "words", "poco a poco rallentando", italic=True)
    made = replace(made, bars=tuple(replace(b, directions=(words,)) for b in made.bars))
    (picture,) = engrave(made, STYLES[0]).pictures
    assert picture.svg.count(b"rallentando") == len(made.bars)
    assert picture.width_mm <= STYLES[0].width_mm + 0.01


@pytest.mark.parametrize("share", [0.985, 0.96, 0.93])
def test_notes_stand_closer_where_that_saves_a_line_and_touch_nothing(share: float) -> None:
    """Verovio breaks a line of its own accord unless it is told, and squeezed accidentals touch."""
    figure = bar("Fn5:8. E5:16 Eb5:8. D5:16 C5:8. Cn5:16 B4:8. Bb4:16")
    made = sheet(*[figure] * 4, replace(figure, events=events("A4:2 r:2")))
    (on_one,) = engrave(made, Style(7.0, 400, 250)).pictures
    style = Style(7.0, share * on_one.width_mm, 250)
    assert systems(engrave(made, style)) == [1]
    assert systems(engrave(made, Style(7.0, 0.75 * on_one.width_mm, 250))) == [2]
    (done,) = finished(made, style)
    assert list(pairs(done.inks)) == []


def test_written_breaks_stand_where_one_line_is_too_short_and_lines_are_not_torn_apart() -> None:
    figure = bar("C5:8 D5:8 E5:8 F5:8")
    made = sheet(figure, figure, replace(figure, system_break=True), figure)
    (on_one,) = engrave(made, Style(7.0, 100, 250)).pictures
    assert (on_one.systems, on_one.width_mm > 80) == (1, True)
    (on_two,) = engrave(made, Style(7.0, 80, 250)).pictures
    assert on_two.systems == 2
    assert on_two.width_mm < 60
    assert [place.system for place in on_two.notes] == [0] * 8 + [1] * 8


def test_the_same_bytes_twice_and_in_another_process() -> None:
    style = STYLES[0]
    first = [picture.svg for picture in engrave(gallery.two_hands(), style).pictures]
    engrave(gallery.chords(), style)
    assert [picture.svg for picture in engrave(gallery.two_hands(), style).pictures] == first
    code = (
        "import sys; from engrave.engraver import Style, engrave;"
        "from tests.engraver import gallery;"
        "sys.stdout.buffer.write(engrave(gallery.two_hands(), Style(7, 170, 250)).pictures[0].svg)"
    )
    for seed in ("1", "2"):
        run = subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        )
        assert run.stdout == first[0]


@pytest.mark.parametrize("style", [(2.0, 170.0), (40.0, 170.0), (7.0, 30.0)])
def test_sizes_that_no_music_fits_are_refused(style: tuple[float, float]) -> None:
    with pytest.raises(EngraveError, match=r"mm"):
        Style(*style)
