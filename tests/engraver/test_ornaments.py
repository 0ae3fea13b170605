"""Ornaments stand clear of slurs and notes, where verovio prints one through the other."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.engraver.crowding import Crowd
from engrave.engraver.ornaments import place_ornaments
from engrave.engraver.paths import Box
from engrave.engraver.reading import ORNAMENTS, Ink, System, read_systems
from engrave.engraver.toolkit import draw
from engrave.music.sheet import Moment, Sheet, Span
from engrave.notation import musicxml
from tests.engraver import gallery
from tests.sheets import bar, events, sheet


def slurred(ornament: str) -> Sheet:
    """A slur that begins at a note with an ornament."""
    first, *rest = events("F5:8 E5:16 F5:16 E5:4")
    notes = (replace(first, ornaments=(ornament,)), *rest)
    slur = Span("slur", Moment(0, Fraction(0)), Moment(0, Fraction(1)), placement="above")
    return sheet(bar(notes, meter="2/4"), spans=(slur,))


def read(made: Sheet) -> tuple[System, Crowd]:
    (system,) = read_systems(draw(musicxml(made)))
    return system, Crowd(box for ink in system.inks if not ink.role for box in ink.shape.boxes)


def is_clear(inks: list[Ink], crowd: Crowd) -> bool:
    boxes: list[Box] = [box for ink in inks for box in ink.shape.boxes]
    return not any(crowd.free_above(box) for box in boxes)


def ornaments(system: System) -> list[Ink]:
    return [ink for ink in system.inks if ink.role in ORNAMENTS]


def test_a_trill_gives_way_to_the_slur_that_verovio_prints_through_it() -> None:
    system, crowd = read(gallery.signs())
    printed, before = ornaments(system), read(gallery.signs())[1]
    assert [is_clear([ink], before) for ink in printed] == [False, True, True]
    found = list(place_ornaments(system, crowd))
    assert [ink.role for ink in found] == ["trill", "turn", "fermata"]
    assert is_clear(found, before)
    assert found[1:] == printed[1:]


@pytest.mark.parametrize("ornament", ["trill-mark", "turn", "mordent", "inverted-mordent"])
def test_an_ornament_is_clear_of_a_slur_that_begins_with_it(ornament: str) -> None:
    system, crowd = read(slurred(ornament))
    found = list(place_ornaments(system, crowd))
    assert len(found) == len(ornaments(system)) > 0
    assert is_clear(found, read(slurred(ornament))[1])
