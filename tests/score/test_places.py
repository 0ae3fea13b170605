"""Ranges of measures as printed, and what a teacher is told when there is no such place."""

from fractions import Fraction
from pathlib import Path

import pytest

from engrave.errors import EngraveError, Source
from engrave.music.ranges import parse_range
from engrave.music.sheet import Moment
from engrave.score import Score, locate, measures_of, offset_in_measure, read_score
from engrave.score.naming import printed_names
from tests.score.build import back, document, head, measure, note, piano


def full(name: str | int, length: str | int = 4, attributes: str = "", **kind: bool) -> str:
    return measure(
        name,
        note("C4", length),
        back(length),
        note("C3", length, voice=5, staff=2),
        head=attributes,
        **kind,
    )


@pytest.fixture
def score(tmp_path: Path) -> Score:
    """A pickup, 1, 2 split by a repeat sign, 2a, 3 in 6/8, 4 in 3/8."""
    return piano(
        tmp_path,
        full(0, 1, head(), implicit=True),
        full(1),
        full(2, 3),
        full("X1", 1, implicit=True),
        full("2a"),
        full(3, 3, "<time><beats>6</beats><beat-type>8</beat-type></time>"),
        full(4, "3/2", "<time><beats>3</beats><beat-type>8</beat-type></time>"),
    )


def at(bar: int, offset: str | int) -> Moment:
    return Moment(bar, Fraction(offset))


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("0", at(0, 0), at(0, 1)),
        ("1-2", at(1, 0), at(3, 1)),
        ("2", at(2, 0), at(3, 1)),
        ("2.4", at(3, 0), at(3, 1)),
        ("2.2-2.3", at(2, 1), at(2, 3)),
        ("2a-3.1", at(4, 0), at(5, "3/2")),  # dotted quarters in 6/8
        ("3.2-4.1", at(5, "3/2"), at(6, "1/2")),  # eighths in 3/8
        ("4.3", at(6, 1), at(6, "3/2")),
    ],
)
def test_a_range_is_found(score: Score, text: str, start: Moment, end: Moment) -> None:
    assert locate(score, parse_range(text)) == (start, end)


def test_a_split_measure_is_one_measure(score: Score) -> None:
    assert [(m.name, m.beats) for m in measures_of(score.sheet)] == [
        ("0", 1),
        ("1", 4),
        ("2", 4),
        ("2a", 4),
        ("3", 2),
        ("4", 3),
    ]
    assert offset_in_measure(score.sheet, at(3, 0)) == ("2", 3)


@pytest.mark.parametrize(
    ("text", "message", "hint"),
    [
        ("9", "there is no measure 9", "the last measure is 4, the first 0"),
        ("2b", "there is no measure 2b", "nearest: 2, 2a; the last measure is 4"),
        ("3.3", "measure 3 has no beat 3", "its beats are 1 to 2, each a dotted-quarter"),
        ("0.2", "measure 0 has no beat 2", "it has one beat, a quarter"),
        ("3-1", "3-1 ends before it begins", "1-3?"),
        ("1.3-1.2", "1.3-1.2 ends before it begins", "1.2-1.3?"),
    ],
)
def test_a_place_that_is_not_there(score: Score, text: str, message: str, hint: str) -> None:
    with pytest.raises(EngraveError) as told:
        locate(score, parse_range(text))
    assert (told.value.message, told.value.hint) == (message, hint)


@pytest.fixture
def suite(tmp_path: Path) -> Path:
    """Two movements: 1, 2, 3 in C and 1, 2 in G, with a mark of tempo each."""
    mark = (
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit>"
        "<per-minute>{}</per-minute></metronome></direction-type></direction>"
    )
    body = [
        measure(
            1, mark.format(60), note("C4", 4), back(4), note("C3", 4, staff=2, voice=5), head=head()
        ),
        full(2),
        full(3),
        measure(
            1,
            note("G4", 4),
            back(4),
            note("G3", 4, staff=2, voice=5),
            head="<key><fifths>1</fifths></key>",
        ),
        measure(2, mark.format(90), note("D4", 4), back(4), note("D3", 4, staff=2, voice=5)),
    ]
    path = tmp_path / "suite.musicxml"
    path.write_text(document(("Piano", "".join(body))), "utf-8")
    return path


def test_a_name_that_two_movements_share_needs_the_movement(suite: Path) -> None:
    score = read_score(suite)
    assert locate(score, parse_range("3"))[0] == at(2, 0)
    with pytest.raises(EngraveError) as told:
        locate(score, parse_range("2"))
    assert told.value.message == "measure 2 stands in the score 2 times"
    assert told.value.hint == (
        "movements 1 and 2 have one each: name the movement, as in piece: {movement: 1}"
    )


@pytest.mark.parametrize("name", [2, "2", "II"])
def test_a_movement_is_read_alone(suite: Path, name: int | str) -> None:
    score = read_score(suite, movement=name)
    assert [bar.name for bar in score.sheet.bars] == ["1", "2"]
    assert [bar.key.fifths for bar in score.sheet.bars] == [1, 1]
    assert [change.staff for change in score.sheet.bars[0].clefs] == [1, 2]
    assert [(mark.moment, mark.per_minute) for mark in score.tempos] == [(at(1, 0), 90)]
    # the first movement's mark does not hold here
    assert score.sheet.bars[0].directions == ()
    assert locate(score, parse_range("2"))[0] == at(1, 0)


def test_a_movement_that_is_not_there(suite: Path) -> None:
    with pytest.raises(EngraveError) as told:
        read_score(suite, movement=3, source=Source("a.yaml", 2, 3))
    assert str(told.value) == (
        "a.yaml:2:3: error: suite.musicxml has no movement 3\n"
        "  hint: its movements and their measures: 1 (1–3), 2 (1–2)"
    )


def test_the_movement_of_a_file_of_one_is_its_name_alone(tmp_path: Path) -> None:
    piano(tmp_path, full(1, attributes=head()))
    assert len(read_score(tmp_path / "piece.musicxml", movement=3).sheet.bars) == 1


@pytest.mark.parametrize(
    ("numbers", "names"),
    [
        ("0 1 2 3", "0 1 2 3"),
        ("1 2 X1 3", "1 2 2 3"),
        ("1 2 0 3", "1 2 2 3"),
        ("1 2 0 1 2", "1 2 0 1 2"),  # a second movement with a pickup
        ("0 0 0", "1 2 3"),
        ("1 2a 2b X1", "1 2a 2b 2b"),
        ("7 - 8", "7 7 8"),
    ],
)
def test_names_are_those_that_are_printed(numbers: str, names: str) -> None:
    assert printed_names(["" if n == "-" else n for n in numbers.split()]) == names.split()
