"""Text stays text, music in text becomes outlines, and widths are never reckoned too small."""

from dataclasses import replace
from fractions import Fraction
from xml.etree import ElementTree

import pytest
from fontTools.ttLib import TTFont

from engrave.engraver import Style, engrave
from engrave.engraver.glyphs import text_width
from engrave.music.sheet import Direction
from tests.engraver.raster import FACES, FONTS
from tests.sheets import bar, sheet

WORDS = ("12", "12a", "Allegro", "poco a poco crescendo", "Tempo I", "mit Wärme", "MM", "fff", "11")


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("words", WORDS)
def test_words_are_no_wider_than_reckoned(face: str, words: str) -> None:
    """Against the advances in the font itself."""
    font = TTFont(FONTS / f"SourceSerifPro-{face}.otf")
    advances = font["hmtx"].metrics
    width = sum(advances[font.getBestCmap()[ord(letter)]][0] for letter in words)
    assert width / font["head"].unitsPerEm <= text_width(words, 1) < 1.5 * width


def texts(*directions: Direction) -> list[str]:
    made = sheet(replace(bar("C5:2"), directions=directions))
    (picture,) = engrave(made, Style()).pictures
    root = ElementTree.fromstring(picture.svg)
    return [text.text or "" for text in root.iter("{http://www.w3.org/2000/svg}text")]


def test_a_metronome_marks_note_is_drawn_and_its_number_is_text() -> None:
    mark = Direction(
        Fraction(0), 1, "metronome", "Allegro", beat_unit=Fraction(3, 2), per_minute=Fraction(60)
    )
    found = texts(mark)
    assert found == ["Allegro", "= 60"]
    assert all(character.isascii() for text in found for character in text)


def test_words_are_escaped_and_kept_as_they_are() -> None:
    found = texts(Direction(Fraction(0), 1, "words", "<b>Più & più</b>"))
    assert found == ["<b>Più & più</b>"]
