"""Every note head stands where pitch, clef and octave line put it."""

from dataclasses import replace
from fractions import Fraction

import pytest

from engrave.engraver import engraving
from engrave.music.sheet import BASS, Clef, ClefChange, Event, Moment, Span
from tests.engraver import gallery
from tests.engraver.heights import misplaced
from tests.engraver.touching import whole
from tests.sheets import bar, events, sheet
from tests.works import EVERYTHING, SWEPT, WORKS, Work

Q = Fraction
LINES = {"octave-up": "above", "octave-down": "below"}
BOUNDS = [
    (Moment(0, Q(0)), Moment(1, Q(1))),
    (Moment(0, Q(1)), Moment(1, Q(0))),
    (Moment(0, Q(1)), Moment(0, Q(2))),
    (Moment(0, Q(0)), Moment(1, Q(2))),
]
SLICES = [
    *((work, index) for work in WORKS[-1:] for index in (2, 3)),
    (SWEPT[2], 0), (SWEPT[5], 1), (SWEPT[8], 5),
]  # fmt: skip
"""Eights of measures: octave lines over two voices, clefs that change in mid-measure."""


def moved(voice: tuple[Event, ...], staff: int) -> tuple[Event, ...]:
    return tuple(replace(event, staff=staff) for event in voice)


def voices(staff: int, number: int) -> tuple[Event, ...]:
    """So many voices of a staff, of other values each, so that ends meet in some and not in all."""
    words = ("C6:8 D6:8 E6:8 F6:8", "G4:4 A4:4", "B4:2", "r:8 D5:8 E5:4")
    if staff == 2:
        words = ("C2:8 D2:8 E2:8 F2:8", "G2:4 A2:4", "B2:2", "r:8 D3:8 E3:4")
    first = 1 if staff == 1 else 5
    lines = [events(line, first + place, staff) for place, line in enumerate(words[:number])]
    return sum(lines, ())


@pytest.mark.parametrize("kind", LINES)
@pytest.mark.parametrize("bounds", BOUNDS)
@pytest.mark.parametrize("staff", [1, 2])
@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_an_octave_line_holds_for_all_voices_of_its_staff(
    kind: str, bounds: tuple[Moment, Moment], staff: int, number: int
) -> None:
    """Verovio takes the voices that stand in the file before its beginning, or after its end, to be
    outside it, and those between to be inside, whatever their time."""
    line = Span(kind, *bounds, staff=staff, placement=LINES[kind])
    other = voices(3 - staff, 1)
    bars = [bar((*voices(staff, number), *other), name=name) for name in "12"]
    assert misplaced(sheet(*bars, staves=(1, 2), spans=(line,))) == []


def test_an_octave_line_holds_for_notes_of_the_other_staffs_voice() -> None:
    """And for none that its own voices have on the other staff."""
    upper = (*events("C6:8 D6:8", 1), *moved(events("r:4 E3:8 F3:8", 1)[1:], 2))
    lower = (*moved(events("C5:8 E5:8", 5), 1), *events("r:4 C3:4", 5)[1:])
    line = Span("octave-up", Moment(0, Q(0)), Moment(0, Q(1)), placement="above")
    assert misplaced(sheet(bar((*upper, *lower)), staves=(1, 2), spans=(line,))) == []


def test_two_octave_lines_over_two_voices_follow_each_other() -> None:
    lines = tuple(
        Span(
            "octave-up", Moment(0, Q(start)), Moment(0, Q(start + 1)), placement="above", size=size
        )
        for start, size in enumerate((8, 15))
    )
    made = sheet(bar(voices(1, 2)), spans=lines)
    high = replace(made, bars=(bar(events("C6:8 D6:8 E7:8 F7:8")), *made.bars[1:]))
    assert misplaced(made) == []
    assert misplaced(replace(high, bars=(replace(high.bars[0], clefs=made.bars[0].clefs),))) == []


@pytest.mark.parametrize("clef", [BASS, Clef("C", 3), Clef("G", 2, -1)])
@pytest.mark.parametrize("second", ["", "G4:8 E3:8 D3:4", "G4:8 /A2:16 E3:8 D3:4"])
def test_grace_notes_after_a_clef_in_mid_measure_are_in_that_clef(clef: Clef, second: str) -> None:
    line = events("C5:8 /F#2:16 /G2,B2:16 C3:8 F3:4")
    change = ClefChange(Q(1, 2), 1, clef)
    assert misplaced(sheet(bar((*line, *events(second, 2)), clefs=(change,)))) == []


@pytest.mark.parametrize("made", gallery.ALL)
def test_the_gallery(made: gallery.Maker) -> None:
    assert misplaced(made()) == []


@pytest.mark.parametrize(("work", "index"), SLICES, ids=[f"{w.name}-{i}" for w, i in SLICES])
def test_real_works(work: Work, index: int) -> None:
    if not work.score.exists():
        pytest.skip("the songs are not here")
    found = list(whole(replace(work, marks=EVERYTHING), (index,)))
    assert found
    assert [(name, each) for name, made in found for each in misplaced(made)] == []


def test_verovio_still_has_to_be_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """The check finds what it is there for; once it finds nothing here, ``heights.py`` can go."""
    line = Span("octave-up", Moment(0, Q(0)), Moment(0, Q(2)), placement="above")
    made = sheet(bar(voices(1, 2), name="told"), spans=(line,))
    monkeypatch.setattr(engraving, "for_drawing", lambda sheet, score: score)
    assert [each.partition(": ")[2] for each in misplaced(made)] == [
        "G4 stands +7.0 steps off", "A4 stands +7.0 steps off",
    ]  # fmt: skip
