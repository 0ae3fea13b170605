"""Which part is the piano's."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.music.notes import Hand
from engrave.music.sheet import BASS, TREBLE
from engrave.score import read_score, read_twice
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


STAVES = (("C5", "G", 2), ("A3", "G", 2), ("C3", "F", 4))
GROUP = '<part-group number="1" type="start"><group-symbol>{}</group-symbol></part-group>'


@pytest.mark.parametrize(
    ("name", "symbol", "is_one"),
    [
        ("Piano", "none", True),
        ("", "brace", True),
        ("", "bracket", False),
        ("Oboe", "brace", False),
    ],
)
def test_three_parts_of_one_staff(tmp_path: Path, name: str, symbol: str, is_one: bool) -> None:
    path = write(tmp_path, *((name, single(*staff)) for staff in STAVES))
    text = path.read_text("utf-8")
    closed = '<part-group number="1" type="stop"/></part-list>'
    grouped = text.replace("<part-list>", "<part-list>" + GROUP.format(symbol))
    path.write_text(grouped.replace("</part-list>", closed), "utf-8")
    if is_one:
        assert read_score(path).sheet.staves == (1, 2, 3)
    else:
        with pytest.raises(EngraveError, match="none is plainly the piano"):
            read_score(path)


def test_abc_voices_in_one_brace_are_three_staves(tmp_path: Path) -> None:
    path = tmp_path / "piece.abc"
    head = "X:1\nT:Three\nM:2/4\nL:1/4\n%%score {1 | 2 | 3}\nK:C\n"
    path.write_text(head + "V:1\nc d |\nV:2\nA B |\nV:3 clef=bass\nC, D, |\n", "utf-8")
    assert read_score(path).sheet.staves == (1, 2, 3)


def test_a_part_without_an_id_is_the_one_of_the_list(tmp_path: Path) -> None:
    path = write(tmp_path, ("Piano", DOUBLE))
    path.write_text(path.read_text("utf-8").replace('<part id="P1">', "<part>"), "utf-8")
    twice = read_twice(path)
    assert (twice.score.part, twice.differences) == ("Piano", ())


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
