"""Marks as they are read: the whole of an example, and what stands for what is left out."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import EngraveError, Source
from engrave.marks import (
    MarkedTempo,
    Marks,
    MarksMistakes,
    PassageMark,
    Piece,
    Practice,
    Student,
    read_marks,
)
from engrave.marks.fingering import parse_word
from engrave.marks.options import Options
from engrave.music.notes import Hand
from engrave.music.ranges import MeasureRange

EXAMPLE = Path(__file__).with_name("example.yaml").read_text("utf-8")


def given(options: Options) -> dict[str, object]:
    """The options that stand in the file, by name."""
    return {name: getattr(options, name) for name, _ in options.places}


def read(folder: Path, text: str) -> Marks:
    (folder / "rondo.musicxml").touch()
    (folder / "marks.yaml").write_text(text, encoding="utf-8")
    return read_marks(folder / "marks.yaml", OPTIONS)


def read_passage(folder: Path, text: str) -> PassageMark:
    (passage,) = read(folder, f"score: rondo.musicxml\npassages: [{{{text}}}]").passages
    return passage


@pytest.fixture
def marks(tmp_path: Path) -> Marks:
    return read(tmp_path, EXAMPLE)


def value_of(tempo: MarkedTempo) -> tuple[object, ...]:
    marks = (tempo.beat, tempo.goal, tempo.start, tempo.step, tempo.reached)
    return tuple(mark and mark.value for mark in marks)


def test_what_stands_at_the_head(marks: Marks, tmp_path: Path) -> None:
    file = tmp_path / "marks.yaml"
    assert replace(marks, passages=()) == Marks(
        file=file,
        source=Source(str(file)),
        score=marks.score,
        passages=(),
        part=marks.part,
        piece=Piece("Rondo", "Ida Vell", 1, marks.piece.movement_source, marks.piece.title_source),
        student=Student("Tom Arder", {Hand.LEFT: 205.0, Hand.RIGHT: 210.0}),
        teacher="Mrs Lunde",
        performance=marks.performance,
        lesson=marks.lesson,
        log=marks.log,
        practice=Practice(30, rest_days=(6,)),
        tempo=marks.tempo,
        language="de",
        paper="letter",
        staff_mm=7.5,
        show_student=True,
    )
    assert marks.score.value == tmp_path / "rondo.musicxml"
    assert marks.score.source == Source(str(file), 2, 8)
    assert marks.part is not None
    assert marks.part.value == "Piano"
    assert marks.performance is not None
    assert marks.performance.value == date(2027, 3, 14)
    assert value_of(marks.tempo) == (1, 120, 60, 2, None)


def test_the_first_day_of_the_plan(tmp_path: Path) -> None:
    marks = read(tmp_path, EXAMPLE.replace("teacher: Mrs Lunde", "begin: 2027-02-01"))
    assert marks.begin is not None
    assert marks.begin.value == date(2027, 2, 1)


def test_a_passage(marks: Marks, tmp_path: Path) -> None:
    file = str(tmp_path / "marks.yaml")
    passage = marks.passages[0]
    assert passage.id == "turn-figure"
    assert passage.source == Source(file, 14, 9)
    assert passage.measures.value == MeasureRange("41", None, "44", None)
    assert passage.measures.source == Source(file, 15, 15)
    assert passage.hands == (Hand.RIGHT,)
    assert passage.trouble == "thumb passes fall between the beats"
    assert passage.status == "warm-up"
    assert passage.remarks == "shown to all"
    assert passage.private == "for the student's edition alone"
    assert value_of(passage.tempo) == (1, 132, 60, 2, 76)
    assert passage.tempo.goal is not None
    assert passage.tempo.goal.source == Source(file, 24, 19)


def test_drills_and_their_options(marks: Marks, tmp_path: Path) -> None:
    file = str(tmp_path / "marks.yaml")
    requests = marks.passages[0].drills
    assert requests is not None
    assert [(each.family, given(each.options)) for each in requests] == [
        ("rhythms", {}),
        ("blocks", {"steps": (1, 2)}),
        (
            "leaps",
            {
                "at": (
                    MeasureRange("41", Fraction(2), "41", Fraction(3)),
                    MeasureRange("43", None, "43", None),
                )
            },
        ),
        ("chain", {}),
    ]
    assert requests[0].source == Source(file, 19, 9)
    assert requests[1].source == Source(file, 20, 9)
    assert requests[1].options.places == (("steps", Source(file, 20, 25)),)


def test_fingers(marks: Marks, tmp_path: Path) -> None:
    file = str(tmp_path / "marks.yaml")
    first, second = marks.passages[0].fingering
    assert (first.hand, first.measure, first.beat) == (Hand.RIGHT, "41", 1)
    assert first.words == ((1,), (2,), (3,), (1,), (2,), (3,), (4,), (5,))
    assert (second.hand, second.measure, second.beat) == (Hand.RIGHT, "42", 10)
    assert second.words == ((1, 3, 5), (None,), (1, None, 5))
    assert second.changes == ((None,) * 3, (None,), (None,) * 3)
    assert second.word_sources == tuple(Source(file, 23, column) for column in (54, 60, 62))


def test_a_passage_without_an_id_or_a_hand(marks: Marks) -> None:
    passage = marks.passages[1]
    assert passage.id == "m12b10-13"
    assert passage.measures.value == MeasureRange("12", Fraction(10), "13", None)
    assert passage.source == passage.measures.source
    assert passage.hands == (Hand.RIGHT, Hand.LEFT)
    assert passage.drills is None
    assert [(each.hand, each.words) for each in passage.fingering] == [(Hand.LEFT, ((5, 3, 1),))]


def test_marks_of_the_file_are_told_in_the_beat_of_the_passage(marks: Marks) -> None:
    # 120 quarters a minute are 80 dotted quarters (MusicXML 4.0: sound/@tempo counts quarters).
    assert value_of(marks.passages[1].tempo) == (
        Fraction(3, 2),
        80,
        40,
        1,
        50,
    )


def test_two_lines_are_enough(tmp_path: Path) -> None:
    marks = read(tmp_path, "score: rondo.musicxml\npassages: [{measures: 12}]\n")
    assert marks.piece == Piece()
    assert marks.student == Student()
    assert marks.student.stretch_mm == {Hand.RIGHT: 205.0, Hand.LEFT: 205.0}
    assert marks.tempo == MarkedTempo() == marks.passages[0].tempo
    assert (marks.language, marks.paper, marks.staff_mm) == ("en", "a4", None)
    assert marks.show_student is False
    assert marks.passages[0].status == "learning"


def test_a_key_with_nothing_after_it_is_not_given(tmp_path: Path) -> None:
    text = "score: rondo.musicxml\nteacher:\ntempo:\n  goal:\npassages:\n- measures: 12\n  hand:\n"
    marks = read(tmp_path, text)
    assert marks == replace(marks, teacher="", tempo=MarkedTempo())
    assert marks.passages[0].hands == (Hand.RIGHT, Hand.LEFT)


@pytest.mark.parametrize(
    ("written", "measure", "beat"),
    [("12.10", "12", 10), ("012", "012", None), ("12a.2", "12a", 2), ("0", "0", None)],
)
def test_a_measure_is_the_text_that_stands_in_the_file(
    tmp_path: Path, written: str, measure: str, beat: int | None
) -> None:
    measures = read_passage(tmp_path, f"measures: {written}").measures.value
    assert (measures.first, measures.first_beat) == (measure, beat)


@pytest.mark.parametrize("written", ["yes", "1.50", "2027-03-14", "null", "~", "0x1F", "1_000"])
def test_texts_stay_texts(tmp_path: Path, written: str) -> None:
    assert read_passage(tmp_path, f"measures: 1, trouble: {written}").trouble == written


def test_markup_is_text(tmp_path: Path) -> None:
    text = "<script>alert(1)</script> & <img src=http://example.org/a.png>"
    assert read_passage(tmp_path, f"measures: 1, remarks: '{text}'").remarks == text


def test_lines_are_one_line_and_prose_keeps_its_own(tmp_path: Path) -> None:
    marks = read(
        tmp_path,
        "score: rondo.musicxml\npiece:\n  title: |\n    A  long\n    title\n"
        "passages:\n- measures: 1\n  remarks: |\n    one\n\n    two\n",
    )
    assert marks.piece.title == "A long title"
    assert marks.passages[0].remarks == "one\n\ntwo"


def test_one_stretch_for_both_hands_or_for_one(tmp_path: Path) -> None:
    head = "score: rondo.musicxml\npassages: [{measures: 1}]\nstudent: "
    both = read(tmp_path, head + "{stretch_cm: 19.3}")
    left = read(tmp_path, head + "{stretch_cm: {left: 23.9}}")
    assert both.student.stretch_mm == {Hand.RIGHT: 193.0, Hand.LEFT: 193.0}
    assert left.student.stretch_mm == {Hand.RIGHT: 205.0, Hand.LEFT: 239.0}


def test_options_of_the_families(tmp_path: Path) -> None:
    requests = read_passage(
        tmp_path,
        "measures: 1, drills: [{rhythms: {variants: [long-short, in-fours-4], reached: 76, "
        "patterns: [[3, 1, 2], [1, 1]], together: true}, bursts: {sizes: [2, 8]}}, "
        "{chain: {by: measure, direction: both, step: 1}}, {accents: {variants: [accent-2]}}]",
    ).drills
    assert requests is not None
    assert [(each.family, given(each.options)) for each in requests] == [
        (
            "rhythms",
            {
                "reached": requests[0].options.reached,
                "variants": ("long-short", "in-fours-4"),
                "patterns": ((3, 1, 2), (1, 1)),
                "together": True,
            },
        ),
        ("bursts", {"sizes": (2, 8)}),
        ("chain", {"step": 1, "by": "measure", "direction": "both"}),
        ("accents", {"variants": ("accent-2",)}),
    ]


def test_ids_are_made_and_never_alike(tmp_path: Path) -> None:
    entries = [
        "measures: 41-44",
        "{measures: 41-44, hand: left}",
        "{measures: 41-44, hand: left}",
        "{measures: 41-44}",
        "{measures: 41.3-44.1}",
        "{measures: 7, id: M7-2}",
        "{measures: 7}",
        "{measures: 7}",
        "{measures: 12a}",
    ]
    text = "".join(f"- {entry}\n" for entry in entries)
    marks = read(tmp_path, f"score: rondo.musicxml\npassages:\n{text}")
    assert [passage.id for passage in marks.passages] == [
        "m41-44",
        "m41-44-left",
        "m41-44-2",
        "m41-44-3",
        "m41b3-44b1",
        "M7-2",
        "m7",
        "m7-3",
        "m12a",
    ]


def test_numbers_are_those_given_else_the_places_in_the_file(tmp_path: Path) -> None:
    text = (
        "score: rondo.musicxml\npassages: [{measures: 1, status: done}, {measures: 2, number: 7}, "
    )
    marks = read(tmp_path, text + "{measures: 3}, {measures: 4, number: 2}]")
    assert [passage.number for passage in marks.passages] == [1, 7, 3, 2]
    for entry, line in (("{measures: 5, number: 3}", "by its place"), ("{measures: 5, number: 7}",
                        "has it too")):  # fmt: skip
        with pytest.raises(MarksMistakes) as mistakes:
            read(tmp_path, text + "{measures: 3}, " + entry + "]")
        (error,) = mistakes.value.errors
        assert "stands for two passages" in error.message
        assert line in error.hint


def test_what_was_reached_may_have_a_day(tmp_path: Path) -> None:
    passage = read_passage(
        tmp_path,
        "measures: 1, tempo: {reached: {mark: 66, day: 2027-02-18}}, "
        "drills: [{rhythms: {reached: {mark: 60, day: 2027-02-19}}}, {staccato: {reached: 50}}]",
    )
    assert passage.tempo.reached is not None
    assert passage.tempo.reached.value == 66
    assert passage.tempo.reached_on is not None
    assert passage.tempo.reached_on.value == date(2027, 2, 18)
    assert passage.drills is not None
    found = [each.options.reached for each in passage.drills]
    assert [each and each.mark.value for each in found] == [60, 50]
    assert [each and each.day and each.day.value for each in found] == [date(2027, 2, 19), None]


@pytest.mark.parametrize("log", ["../nell.log.yaml", "/tmp/l", "a/b", "C:l", "..", "x\\\\y"])
def test_a_log_lies_beside_its_marks(tmp_path: Path, log: str) -> None:
    with pytest.raises(MarksMistakes, match="1 mistakes"):
        read(tmp_path, f'score: rondo.musicxml\nlog: "{log}"\npassages: [{{measures: 1}}]')


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_a_mark_of_byte_order_and_foreign_line_ends_are_read(tmp_path: Path, ending: str) -> None:
    (tmp_path / "rondo.musicxml").touch()
    file = tmp_path / "marks.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + EXAMPLE.replace("\n", ending).encode())
    marks = read_marks(file, OPTIONS)
    assert marks.score.source == Source(str(file), 2, 8)
    assert [passage.id for passage in marks.passages] == ["turn-figure", "m12b10-13"]


def test_everything_that_can_be_made(tmp_path: Path) -> None:
    asked = "lesson: 2027-02-20", "  - {measures: 20, drills: everything}\nlesson: 2027-02-20"
    marks = read(tmp_path, EXAMPLE.replace(*asked))
    requests = marks.passages[-1].drills
    assert requests is not None
    assert [each.family for each in requests] == ["everything"]


@pytest.mark.parametrize(
    ("word", "fingers", "changes"),
    [("4>5", (4,), (5,)), ("1-4>5", (1, 4), (None, 5)), ("1-3-5", (1, 3, 5), (None,) * 3)],
)
def test_a_finger_that_takes_a_key_over(
    word: str, fingers: tuple[int, ...], changes: tuple[int | None, ...]
) -> None:
    assert parse_word(word, Hand.RIGHT) == (fingers, changes)


@pytest.mark.parametrize("word", ["4>", ">5", "4>4", "4>5>4", ".>5", "4>6", "2-3>1"])
def test_a_finger_that_takes_nothing_over_is_refused(word: str) -> None:
    with pytest.raises(EngraveError):
        parse_word(word, Hand.RIGHT)


@pytest.mark.parametrize(
    ("place", "is_inside"),
    [
        ("40.2", False),
        ("41.1", False),
        ("41.2", True),
        ("43.9", True),
        ("44.1", True),
        ("44.2", False),
    ],
)
def test_fingers_stand_from_the_first_beat_of_the_passage_to_its_last(
    tmp_path: Path, place: str, is_inside: bool
) -> None:
    (tmp_path / "rondo.musicxml").touch()
    path = tmp_path / "edges.yaml"
    path.write_text(
        "score: rondo.musicxml\npassages:\n  - measures: 41.2-44.1\n    hand: right\n"
        f'    fingering: {{"{place}": "1"}}\n',
        "utf-8",
    )
    if is_inside:
        assert len(read_marks(path, OPTIONS).passages[0].fingering) == 1
        return
    with pytest.raises(MarksMistakes) as caught:
        read_marks(path, OPTIONS)
    assert [f"{place} lies outside the passage" in str(each) for each in caught.value.errors] == [
        True
    ]
