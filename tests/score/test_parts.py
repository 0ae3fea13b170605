"""Which part is the piano's."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.music.notes import Hand
from engrave.music.sheet import BASS, TREBLE
from engrave.score import read_score
from tests.score.build import CLEFS, PIANO, back, document, head, measure, note

DOUBLE = measure(1, note("C5", 4), back(4), note("C3", 4, voice=5, staff=2), head=head())


def single(pitch: str, clef: str = "G", line: int = 2) -> str:
    one = f"<clef><sign>{clef}</sign><line>{line}</line></clef>"
    return measure(1, note(pitch, 4), head=head().replace(PIANO, "").replace(CLEFS, one))


def write(folder: Path, *parts: tuple[str, str]) -> Path:
    path = folder / "work.musicxml"
    path.write_text(document(*parts), "utf-8")
    return path


def test_the_only_part_of_two_staves(tmp_path: Path) -> None:
    path = write(tmp_path, ("Violin", single("E5")), ("Klavier", DOUBLE))
    assert read_score(path).part == "Klavier"


def test_a_piano_among_parts_of_two_staves(tmp_path: Path) -> None:
    path = write(tmp_path, ("Harp", DOUBLE), ("Piano", DOUBLE))
    assert read_score(path).part == "Piano"
    assert read_score(path, part="harp").part == "Harp"


def test_two_parts_of_one_staff_are_a_piano(tmp_path: Path) -> None:
    path = write(tmp_path, ("Upper", single("C5")), ("Lower", single("C3", "F", 4)))
    (bar,) = read_score(path).sheet.bars
    assert [(e.hand, e.staff, e.voice, e.tones[0].pitch.octave) for e in bar.events] == [
        (Hand.RIGHT, 1, 1, 5),
        (Hand.LEFT, 2, 5, 3),
    ]
    assert [(change.staff, change.clef) for change in bar.clefs] == [(1, TREBLE), (2, BASS)]


def test_two_parts_both_called_piano(tmp_path: Path) -> None:
    path = write(
        tmp_path, ("Horn", single("C4")), ("Piano", single("C5")), ("Piano", single("C3", "F", 4))
    )
    score = read_score(path)
    assert score.part == "Piano"
    assert {event.staff for event in score.sheet.bars[0].events} == {1, 2}
    assert score == read_score(path, part="Piano")


def test_two_parts_whose_names_begin_alike(tmp_path: Path) -> None:
    upper, lower = ("Piano right", single("C5")), ("Piano left", single("C3", "F", 4))
    path = write(tmp_path, ("Horn", single("C4")), upper, lower)
    both = read_score(path, part="Piano")
    assert {event.hand for event in both.sheet.bars[0].events} == {Hand.RIGHT, Hand.LEFT}
    assert both.staves == ((2,), (3,))
    alone = read_score(path, part="Piano left")
    assert (alone.sheet.staves, alone.staves) == ((1,), ((3,),))


def test_no_part_is_plainly_the_piano(tmp_path: Path) -> None:
    path = write(tmp_path, ("Harp", DOUBLE), ("Organ", DOUBLE), ("Oboe", single("E5")))
    with pytest.raises(EngraveError) as told:
        read_score(path)
    assert told.value.message == "work.musicxml has several parts, and none is plainly the piano"
    assert told.value.hint == (
        "name the one to practise, as in part: Harp in the marks or --part 'Harp' in a command; "
        "the parts are Harp, Organ and Oboe"
    )


def test_a_part_that_is_not_there(tmp_path: Path) -> None:
    path = write(tmp_path, ("Violin", single("E5")), ("Piano", DOUBLE))
    with pytest.raises(EngraveError) as told:
        read_score(path, part="Paino")
    assert told.value.message == "work.musicxml has no part 'Paino'"
    assert told.value.hint == "did you mean Piano? the parts are Violin and Piano"
