"""Fingers: each at its note, a chord's in one column in the order of the keys, on nothing else."""

import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from engrave.engraver import Picture, Style, engrave
from engrave.engraver.fingers import SIZE
from engrave.engraver.shapes import GREY
from engrave.engraver.toolkit import STAFF
from engrave.music.sheet import Sheet, Tone
from tests.engraver import gallery
from tests.engraver.raster import drawn, view_box, without
from tests.sheets import bar, events, sheet

STYLE = Style(7.0, 170, 250)
Figure = tuple[float, float, str, bool]
"""Place in units, from the upper staff's top line down; the figure; whether it is grey, italic."""


def figures(made: Sheet) -> list[Figure]:
    """The fingers in the one picture of a sheet."""
    (picture,) = engrave(made, STYLE).pictures
    return figures_of(picture)


def figures_of(picture: Picture) -> list[Figure]:
    """The fingers in a picture, from left to right, from top to bottom."""
    _, top, _, height = view_box(picture.svg)
    line = top + picture.staff_tops_mm[0] / picture.height_mm * height
    found = []
    for text in ElementTree.fromstring(picture.svg).iter("{http://www.w3.org/2000/svg}text"):
        if text.get("font-size") != f"{SIZE:.0f}":
            continue
        light = text.get("fill") == GREY and text.get("font-style") == "italic"
        assert light is (text.get("fill") is not None)
        places = zip(text.get("x", "").split(), text.get("y", "").split(), strict=True)
        for (x, y), figure in zip(places, text.text or "", strict=True):
            found.append((float(x), float(y) - line, figure, light))
    return sorted(found)


def column(made: Sheet) -> str:
    """The figures of the only column there is, from the top down."""
    found = figures(made)
    assert len({x for x, *_ in found}) == 1
    ys = [y for _, y, *_ in found]
    assert all(200 < lower - upper < 280 for upper, lower in pairwise(ys))
    return "".join(figure for *_, figure, _ in found)


@pytest.mark.parametrize("made", gallery.ALL)
def test_every_finger_is_there(made: gallery.Maker) -> None:
    asked = sorted(
        (str(tone.finger.number), tone.finger.origin == "computed")
        for _, _, event in made().timed()
        for tone in event.tones
        if tone.finger
    )
    assert sorted((figure, light) for _, _, figure, light in figures(made())) == asked


@pytest.mark.parametrize("made", gallery.ALL)
def test_figures_and_labels_touch_no_other_ink(made: gallery.Maker) -> None:
    (picture,) = engrave(made(), STYLE).pictures
    size = picture.width_mm, picture.height_mm
    text = without(picture.svg, "path")
    music = drawn(without(picture.svg, "text"), *size)
    assert not (drawn(text, *size) & music).any()
    alone = [
        drawn(text.replace(element, b""), *size)
        for element in re.findall(rb"<text.*?</text>", text)
    ]
    together = drawn(text, *size)
    for rest in alone:
        assert (together & ~rest).any()


def test_a_chords_fingers_stand_in_one_column_in_the_order_of_the_keys() -> None:
    assert column(sheet(bar("C4,E4,G4,B4,D5:2=1,2,3,4,5"))) == "54321"
    assert column(sheet(bar("C4,D4,E4,G4,A4:2=1,2,3,4,5"))) == "54321"
    assert column(sheet(bar(events("C3,E3,G3,C4:2=5,3,2,1", 5)), staves=(2,))) == "1235"
    two_voices = bar(events("C5:2=5", 1) + events("E4:2=1", 2))
    assert column(sheet(two_voices)) == "51"


def test_right_hand_above_and_left_hand_below_their_staves() -> None:
    (picture,) = engrave(gallery.chords(), STYLE).pictures
    upper, lower = picture.staff_tops_mm
    below = (lower - upper + STYLE.staff_height_mm) / STYLE.staff_height_mm * STAFF
    assert all(y < 0 or y > below for _, y, *_ in figures(gallery.chords()))


def test_a_figure_clears_the_stem() -> None:
    """Above a stem that points up; above the staff where there is no stem."""
    ((_, over_stem, *_),) = figures(sheet(bar("A4:4=1 r:4")))
    ((_, over_head, *_),) = figures(sheet(bar("A4:1=1", meter="4/4")))
    assert over_stem < over_head


def test_a_change_of_finger_on_a_key_is_printed_as_an_editor_prints_it() -> None:
    """4–5 in one figure, centred where the 4 alone would stand."""
    made = sheet(bar("A4:1=4", meter="4/4"))
    (plain,) = figures(made)
    (picture,) = engrave(changing(made), STYLE).pictures
    texts = ElementTree.fromstring(picture.svg).iter("{http://www.w3.org/2000/svg}text")
    (change,) = [each for each in texts if each.text == "4–5"]
    width = 0.5 * SIZE
    assert float(change.get("x", "")) + 1.5 * width == pytest.approx(plain[0] + width / 2, abs=2)


def changing(made: Sheet) -> Sheet:
    """The sheet, the fifth finger taking over every key that the fourth strikes."""

    def taken(tone: Tone) -> Tone:
        finger = tone.finger
        return replace(tone, finger=replace(finger, then=5)) if finger else tone

    bars = (
        replace(
            each,
            events=tuple(replace(e, tones=tuple(map(taken, e.tones))) for e in each.events),
        )
        for each in made.bars
    )
    return replace(made, bars=tuple(bars))
