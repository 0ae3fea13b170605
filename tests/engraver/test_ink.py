"""Nothing is lost between verovio's own SVG, ours, and the page."""

import re
from dataclasses import replace

import pytest

from engrave.engraver import Style, engrave
from engrave.engraver.paths import around
from engrave.engraver.reading import read_systems
from engrave.engraver.stacking import FinishedSystem, stack
from engrave.engraver.toolkit import STAFF, draw
from engrave.music.sheet import Sheet
from engrave.notation import musicxml
from tests.engraver import gallery
from tests.engraver.collisions import shared
from tests.engraver.raster import agreement, drawn, printed, view_box, without

STYLE = Style(7.0, 170, 250)
MM = STYLE.staff_height_mm / STAFF
ENOUGH = 0.995


def one_line(sheet: Sheet) -> Sheet:
    return replace(sheet, bars=sheet.bars[:6], spans=sheet.spans if len(sheet.bars) < 7 else ())


@pytest.mark.parametrize("made", gallery.ALL)
def test_verovios_ink_is_all_there(made: gallery.Maker) -> None:
    """Unmended, drawn by resvg, against ours on WeasyPrint's page.

    Text apart, which is set anew, and the metronome's note with it.
    """
    theirs = draw(musicxml(one_line(made())))
    (system,) = read_systems(theirs)
    inks = tuple(ink for ink in system.inks if ink.role != "tempo")
    whole = around(box for ink in inks for box in ink.shape.boxes)
    (picture,) = stack([FinishedSystem(system, inks, whole)], replace(STYLE, width_mm=1000))
    left, top, width, height = view_box(picture.svg)
    top += system.staff_tops[0] - (picture.staff_tops_mm[0] / MM + top)
    inner = re.search(r'<svg class="definition-scale"[^>]*viewBox="[^"]*"', theirs)
    assert inner
    frame = f'width="{width}" height="{height}" viewBox="{left} {round(top)} {width} {height}"'
    shown = theirs.replace(inner[0], f'<svg color="black" {frame}')
    shown = re.sub(r'viewBox="[^"]*" version', f'viewBox="0 0 {width} {height}" version', shown)
    size = picture.width_mm, picture.height_mm
    unmended = drawn(without(shown.encode(), "text"), *size)
    ours = printed(without(picture.svg, "text"), *size)
    assert agreement(ours, unmended) >= ENOUGH


@pytest.mark.parametrize("made", gallery.ALL)
def test_two_renderers_agree_on_the_finished_picture(made: gallery.Maker) -> None:
    (picture,) = engrave(made(), STYLE).pictures
    size = picture.width_mm, picture.height_mm
    assert agreement(printed(picture.svg, *size), drawn(picture.svg, *size)) >= ENOUGH


@pytest.mark.parametrize("made", gallery.ALL)
def test_no_text_touches_other_ink(made: gallery.Maker) -> None:
    """Fingers, labels and words, drawn alone, lie on no pixel of notes, beams, slurs and wedges."""
    (picture,) = engrave(made(), STYLE).pictures
    assert b"<text" in picture.svg
    assert not shared(picture.svg, picture.width_mm, picture.height_mm)
