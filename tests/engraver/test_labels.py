"""The numbers of the measures stand outermost, and words end with their line."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.engraver import Style
from engrave.engraver.engraving import finished
from engrave.engraver.paths import around
from engrave.music.sheet import Direction, Sheet
from tests.engraver import gallery
from tests.sheets import bar, sheet

STYLE = Style(7.0, 170, 250)
BEYOND = ("tempo", "reh", "dir", "voltaBracket")


def among_the_notes(made: Sheet) -> list[str]:
    """The numbers with something above them that is no sign for the line, or below the system's
    upper staff."""
    found = []
    for done in finished(made, STYLE):
        labels = [ink for ink in done.inks if ink.kind == "label"]
        others = [ink for ink in done.inks if ink not in labels and ink.kind not in BEYOND]
        for label in labels:
            own = around(label.shape.boxes)
            boxes = [(ink.kind, box) for ink in others for box in ink.shape.boxes]
            if own.bottom > done.system.staff_tops[0]:
                found.append("below the upper staff")
            found += [
                f"below {kind}"
                for kind, box in boxes
                if box.left < own.right and box.right > own.left and box.top < own.bottom
            ]
    return found


def test_a_number_stands_above_the_fingers_of_its_note() -> None:
    """There is room for it between the fingers above a beam and the notes below, as in a rag."""
    right = "Eb4,Eb5:16=1,5@2 G4:16=2 Bb4:16=3 Eb4,Eb5:16=1,5 Eb4,Eb5:4@3"
    assert among_the_notes(sheet(bar(right))) == []


def test_a_number_over_a_rest_is_in_no_row_with_the_fingers_beside_it() -> None:
    made = sheet(bar("r:16@18 G5:16=2 E5,E6:8=1,5 r:4"))
    (done,) = finished(made, STYLE)
    boxes = {kind: [ink.shape.boxes[0] for ink in done.inks if ink.kind == kind]
             for kind in ("label", "finger")}  # fmt: skip
    assert boxes["label"][0].bottom < boxes["finger"][0].top


def test_a_number_stands_above_the_system_where_the_right_hand_rests() -> None:
    made = sheet(bar("r:4 C6:4=5", "Ab2,Ab3:4=5,1@61 C3,Eb3,Ab3:4=5,3,1"), staves=(1, 2))
    assert among_the_notes(made) == []


def test_a_number_stands_above_a_left_hand_on_the_upper_staff() -> None:
    low = replace(bar("C5:8@5 E5:8 G5:8 C6:8", "C3:2=5@6"), name="5")
    assert among_the_notes(sheet(low, staves=(1, 2))) == []


@pytest.mark.parametrize("made", gallery.ALL)
def test_numbers_stand_outermost_in_the_gallery(made: gallery.Maker) -> None:
    assert among_the_notes(made()) == []


@pytest.mark.parametrize("staves", [(1,), (1, 2)])
@pytest.mark.parametrize("placement", ["above", "below"])
def test_words_at_the_last_note_end_at_the_last_bar_line(
    staves: tuple[int, ...], placement: str
) -> None:
    words = Direction(Fraction(3, 2), staves[-1], "words", "marcato", placement)
    low = ("C5:8 D5:8 E5:8 F5:8", "C3:8 D3:8 E3:8 F3:8")[: len(staves)]
    (done,) = finished(sheet(bar(*low), bar(*low, directions=(words,)), staves=staves), STYLE)
    found = around(box for ink in done.inks if ink.kind == "dir" for box in ink.shape.boxes)
    assert found.right <= done.system.right
    assert found.left > done.system.bar_ends[0]


def test_words_wider_than_the_last_bar_begin_where_they_belong() -> None:
    words = Direction(Fraction(0), 1, "words", "poco a poco diminuendo", "below")
    narrow = bar("C5:4", meter="1/4", directions=(words,))
    (done,) = finished(sheet(bar("C5:4", meter="1/4"), narrow), STYLE)
    found = around(box for ink in done.inks if ink.kind == "dir" for box in ink.shape.boxes)
    assert found.left > done.system.bar_ends[0]
