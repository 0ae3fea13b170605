"""Where a picture says that its notes are, another renderer draws ink."""

from collections.abc import Callable

import pytest

from engrave.engraver import Style, engrave
from engrave.music.sheet import Sheet
from tests.engraver import gallery
from tests.engraver.raster import drawn, pixels


@pytest.mark.parametrize("made", [gallery.two_hands, gallery.long_line, gallery.chords])
@pytest.mark.parametrize("is_justified", [False, True])
def test_every_printed_note_is_where_it_is_said_to_be(
    made: Callable[[], Sheet], is_justified: bool
) -> None:
    sheet = made()
    style = Style(width_mm=120, max_height_mm=60, is_justified=is_justified)
    told = set()
    for picture in engrave(sheet, style).pictures:
        ink = drawn(picture.svg, picture.width_mm, picture.height_mm, dpi=150)
        for note in picture.notes:
            told.add((note.bar, note.event, note.tone))
            rows = slice(pixels(note.top_mm, 150), pixels(note.bottom_mm, 150))
            columns = slice(pixels(note.left_mm, 150), pixels(note.right_mm, 150))
            event = sheet.bars[note.bar].events[note.event]
            assert ink[rows, columns].mean() > (0.2 if event.tones else 0.05)
            assert 0 <= note.system < picture.systems
    assert told >= {
        (bar, index, tone)
        for bar, each in enumerate(sheet.bars)
        for index, event in enumerate(each.events)
        for tone in range(len(event.tones))
    }


def test_a_justified_line_is_as_wide_as_its_style() -> None:
    (picture,) = engrave(gallery.two_hands(), Style(width_mm=170, is_justified=True)).pictures
    assert picture.width_mm == pytest.approx(170, abs=1)
