"""Tempo rows: every mark in its box, inside the page, with the note that names the beat."""

from fractions import Fraction
from xml.etree import ElementTree

import pytest

from engrave.booklet import PAPERS, Edition, page_style
from engrave.booklet.setting import Setting
from engrave.booklet.signs import note_sign
from engrave.engraver.glyphs import glyph
from engrave.music.drill import Ladder
from engrave.music.tempo import BEAT_UNITS
from tests.booklet.samples import MANY_MARKS, book

SVG = "{http://www.w3.org/2000/svg}"
MARKS = {5: (100, 112, 120), 10: tuple(range(60, 100, 4)), 37: MANY_MARKS}


def row(ladder: Ladder, edition: str = "student", paper: str = "a4") -> ElementTree.Element:
    setting = Setting(book(1), page_style(edition, paper))
    return ElementTree.fromstring(setting.pictures[setting.boxes(ladder)])


@pytest.mark.parametrize("edition", Edition)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("marks", MARKS.values(), ids=len)
def test_rows_wrap_inside_the_page(edition: str, paper: str, marks: tuple[int, ...]) -> None:
    style = page_style(edition, paper)
    drawn = row(Ladder(Fraction(1), marks, 84), edition, paper)
    assert float(drawn.attrib["width"].removesuffix("mm")) <= style.music_width_mm
    numbers = [text for text in drawn.iter(f"{SVG}text") if text.text != "="]
    assert [int(text.text or "") for text in numbers] == list(marks)
    assert max(float(text.attrib["x"]) for text in numbers) < style.music_width_mm - 10
    lines = {text.attrib["y"] for text in numbers}
    counts = sorted(sum(text.attrib["y"] == y for text in numbers) for y in lines)
    assert counts[-1] - counts[0] < len(counts), "rows are as even as they can be"


@pytest.mark.parametrize("paper", PAPERS)
def test_the_usual_ladder_is_one_row(paper: str) -> None:
    """From half a goal of 96 to the goal, two marks at a time: nine, or ten where it is uneven."""
    style = page_style("student", paper)
    assert style.tempo_boxes_a_row(9) == 9
    assert style.tempo_boxes_a_row(10) == (5 if paper == "half-letter" else 10)


@pytest.mark.parametrize(
    ("reached", "following", "ticks"), [(None, 60, 0), (66, 72, 2), (70, 72, 2), (80, None, 4)]
)
def test_reached_marks_are_ticked_and_the_next_is_framed(
    reached: int | None, following: int | None, ticks: int
) -> None:
    ladder = Ladder(Fraction(1), (60, 66, 72, 80), reached)
    assert ladder.next == following
    strokes = [path.get("stroke-width") for path in row(ladder).iter(f"{SVG}path")]
    assert strokes.count(".35") == ticks
    assert strokes.count(".7") == (following is not None)


def test_no_two_beats_look_alike() -> None:
    signs = {unit: note_sign(unit) for unit in BEAT_UNITS.values()}
    assert len(set(signs.values())) == len(BEAT_UNITS)
    with pytest.raises(ValueError, match="5/4"):
        note_sign(Fraction(5, 4))


@pytest.mark.parametrize("unit", [unit for unit in BEAT_UNITS.values() if unit.numerator == 3])
def test_a_dot_is_as_large_beside_its_head_as_in_a_music_font(unit: Fraction) -> None:
    """Leipzig, verovio's font (SIL Open Font License): U+E1E7 beside U+E0A4 of SMuFL."""
    sign = ElementTree.fromstring(f"<g>{note_sign(unit)}</g>")
    dot, head = sign.find("circle"), sign.find("ellipse")
    assert dot is not None
    assert head is not None
    share = float(dot.attrib["r"]) / float(head.attrib["rx"])
    font = [glyph(code).box.right - glyph(code).box.left for code in ("E1E7", "E0A4")]
    assert share == pytest.approx(font[0] / font[1], rel=0.15)
    right_of_head = float(head.attrib["cx"]) + float(head.attrib["rx"])
    assert float(dot.attrib["cx"]) - float(dot.attrib["r"]) > right_of_head
