"""What sounds from before a passage into it: which keys, of which hand, struck where."""

from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import Mistakes
from engrave.marks import read_marks
from engrave.music.notes import Hand
from engrave.music.ranges import parse_range
from engrave.passage.assembly import assemble
from engrave.passage.held_over import beside, held_over, noticed
from engrave.passage.model import Passage
from engrave.score import Score, locate
from engrave.words import say
from tests.score.build import back, head, measure, note, piano

REST = (back(4), note("r", 4, voice=5, staff=2))


def held(score: Score, text: str) -> list[tuple[Hand, str, int, str]]:
    start, _ = locate(score, parse_range(text))
    return [
        (each.hand, each.measure, each.beat, " ".join(pitch.spelling for pitch in each.pitches))
        for each in held_over(score, start)
    ]


@pytest.fixture
def score(tmp_path: Path) -> Score:
    """A half note into beat 3, tied notes over two bar lines, a second voice that begins there."""
    first = (note("E4", 2), note("F4", 2, tie="start"), back(4), note("C3", 4, voice=5, staff=2))
    over = (note("F4", 4, tie="stop start"), *REST)
    ends = (note("F4", 1, tie="stop"), note("G4", 3), *REST)
    return piano(tmp_path, measure(1, *first, head=head()), measure(2, *over), measure(3, *ends))


@pytest.mark.parametrize(
    ("where", "expected"),
    [
        ("1", []),
        ("1.2", [(Hand.RIGHT, "1", 1, "E4"), (Hand.LEFT, "1", 1, "C3")]),
        ("1.3", [(Hand.LEFT, "1", 1, "C3")]),
        ("1.4-2", [(Hand.LEFT, "1", 1, "C3"), (Hand.RIGHT, "1", 3, "F4")]),
        ("2", [(Hand.RIGHT, "1", 3, "F4")]),
        ("2.3", [(Hand.RIGHT, "1", 3, "F4")]),
        ("3", [(Hand.RIGHT, "1", 3, "F4")]),
        ("3.2", []),
    ],
)
def test_what_is_down_where_a_passage_begins(
    score: Score, where: str, expected: list[tuple[Hand, str, int, str]]
) -> None:
    assert held(score, where) == expected


def passage(score: Score, folder: Path, marks: str) -> Passage:
    path = folder / "marks.yaml"
    path.write_text(
        f"piece: {{title: T}}\nscore: {score.file}\ntempo: {{goal: 60}}\npassages:\n{marks}",
        "utf-8",
    )
    read = read_marks(path, OPTIONS)
    return assemble(read.passages[0], score, read.student.stretch_mm)


def test_it_is_said_beside_the_passage_and_to_the_teacher(score: Score, tmp_path: Path) -> None:
    both = passage(score, tmp_path, "  - {measures: 1.2-3, hand: right}\n")
    assert [say(remark) for remark in beside(both)] == [
        "Held over from beat 1, struck anew here: C\N{NO-BREAK SPACE}3 and E\N{NO-BREAK SPACE}4."
    ]
    assert [say(remark) for remark in noticed(both)] == [
        "held over from beat 1, struck anew at the beginning: E\N{NO-BREAK SPACE}4 (right hand); "
        "that is an onset and takes fingers"
    ]
    later = passage(score, tmp_path, "  - {measures: 2, hand: right}\n")
    assert [say(remark, "de") for remark in beside(later)] == [
        "Von Takt 1 her gehalten, hier neu angeschlagen: f¹."
    ]


def test_a_wrong_number_of_fingers_there_says_it_too(score: Score, tmp_path: Path) -> None:
    marks = '  - {measures: 1.2-3, hand: right, fingering: {"1.2": "1-2"}}\n'
    with pytest.raises(Mistakes) as raised:
        passage(score, tmp_path, marks)
    (error,) = raised.value.errors
    assert error.message == "2 fingers for 1 key (E4) at 1.2"
    assert error.hint.startswith("held over from before the passage and struck anew here: E4; one")
