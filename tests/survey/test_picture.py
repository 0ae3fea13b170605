"""The strip: well-formed, grey, as wide as asked, every place named, hills as high as heights."""

import re
from xml.etree import ElementTree

import pytest

from engrave.music.notes import Hand
from engrave.survey import Side, Survey, survey
from engrave.survey.picture import HARDEST, HILL_MM, Named, strip, terrain_svg
from engrave.words import say
from tests.sheets import bar
from tests.survey.pieces import KINDS, easy, planted, score

SVG = "{http://www.w3.org/2000/svg}"


def piece() -> Survey:
    return survey(score(planted(easy(40), {8: KINDS["runs"][2], 30: KINDS["leaps"][2]})))


def drawing(width_mm: float = 168.0, found: Survey | None = None) -> ElementTree.Element:
    return ElementTree.fromstring(terrain_svg(found or piece(), width_mm))


def test_the_size_is_the_one_asked_for() -> None:
    root = drawing(120)
    made = strip(piece().terrain, "", 120, ())
    assert root.get("width") == "120mm"
    assert root.get("viewBox") == f"0 0 120 {made.height_mm:g}"
    assert made.width_mm == 120


def test_only_greys_that_stay_apart() -> None:
    """Black, white and two greys whose lightness differs by a third of the scale."""
    colours = set(re.findall(rb"#[0-9a-f]{3,6}", terrain_svg(piece(), 168)))
    assert colours == {b"#000", b"#4d4d4d", b"#a6a6a6"}
    assert (0xA6 - 0x4D) / 255 > 0.33


@pytest.mark.parametrize(("side", "index"), [(Side.RIGHT, 0), (Side.LEFT, 1)])
def test_a_hill_is_as_high_as_its_measure(side: Side, index: int) -> None:
    found = piece()
    hills = [path.get("d", "") for path in drawing(160, found).iter(f"{SVG}path")
             if path.get("fill", "none") != "none"]  # fmt: skip
    base = float(re.match(r"M0 ([\d.]+)", hills[index])[1])  # type: ignore[index]
    steps = [float(y) for y in re.findall(r"V([\d.]+)H", hills[index])]
    heights = [
        max(found.terrain.height[side][i] for i, cell in enumerate(found.terrain.cells)
            if cell.bar == number)
        for number in range(40)
    ]  # fmt: skip
    highest = max(max(heights) for heights in found.terrain.height.values())
    for step, height in zip(steps, heights, strict=True):
        assert abs(step - base) == pytest.approx(height / highest * HILL_MM, abs=0.02)


def test_every_place_is_named_in_the_picture_and_in_words() -> None:
    found = piece()
    root = drawing(168, found)
    title = root[0].text or ""
    assert root[0].tag == f"{SVG}title"
    names = [text.text for text in root.iter(f"{SVG}text") if text.get("font-weight")]
    for rank, spot in enumerate(found.spots, 1):
        assert str(rank) in names
        assert f"{rank} (measures {spot.label})" in title


def test_the_hardest_measures_are_told_in_words() -> None:
    found = piece()
    picture = strip(found.terrain, "", 168, ())
    height, cells = found.terrain.height[Side.LEFT], found.terrain.cells
    by_measure = {
        cell.measure: max(height[at] for at, other in enumerate(cells) if other.bar == cell.bar)
        for cell in cells
    }
    hardest = sorted(by_measure, key=lambda name: (-by_measure[name], int(name)))[:HARDEST]
    names = "{}, {} and {}".format(*sorted(hardest, key=int))
    assert f"measures {names} (left hand)." in say(picture.shows[1])
    assert say(picture.shows[1]) in picture.svg.decode()


def test_names_are_text_and_no_markup() -> None:
    found = piece()
    cells = found.terrain.cells
    named = [Named("<a&b>", (Hand.RIGHT,), cells[0].start, cells[7].end)]
    root = ElementTree.fromstring(terrain_svg(found, 168, named))
    assert [t.text for t in root.iter(f"{SVG}text") if t.get("font-weight")] == ["<a&b>"]


def test_names_that_stand_close_are_set_on_two_levels() -> None:
    found = piece()
    cells = found.terrain.cells
    named = [Named(str(n), (Hand.LEFT,), cells[n].start, cells[n].end) for n in range(4)]
    root = ElementTree.fromstring(terrain_svg(found, 60, named))
    levels = [text.get("y") for text in root.iter(f"{SVG}text") if text.get("font-weight")]
    assert levels[0] != levels[1]


def test_the_same_survey_gives_the_same_bytes() -> None:
    assert terrain_svg(piece(), 168) == terrain_svg(piece(), 168)


def test_any_piece_can_be_drawn() -> None:
    one = score([bar("C4:4 r:2.", "R:1", meter="4/4", name="0")])
    silence = score([bar("R:1", "R:1", meter="4/4")])
    for each in (one, silence):
        ElementTree.fromstring(terrain_svg(survey(each), 168))
