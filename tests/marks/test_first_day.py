"""What people write on their first day, where it has one meaning: it is taken."""

from fractions import Fraction
from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.drills.patterns import PATTERNS
from engrave.drills.rhythms import RhythmOptions
from engrave.errors import Mistakes
from engrave.machine import endings
from engrave.marks import Marks, read_marks, schema, tables
from engrave.marks.model import EVERYTHING
from engrave.music.notes import Hand
from engrave.music.tempo import BEAT_UNITS
from engrave.words import say_family

SCORE = Path(__file__).with_name("mistakes") / "score.musicxml"


def marks_of(folder: Path, passage: str, head: str = "") -> Marks:
    (folder / "score.musicxml").write_bytes(SCORE.read_bytes())
    path = folder / "marks.yaml"
    path.write_text(f"score: score.musicxml\n{head}passages:\n  - {passage}\n", "utf-8")
    return read_marks(path, OPTIONS)


@pytest.mark.parametrize("words", ["RH", "r.h.", "right hand", "Rechts", "r", "m.d."])
def test_hands_by_their_other_names(tmp_path: Path, words: str) -> None:
    (passage,) = marks_of(tmp_path, f"{{measures: 12, hand: {words}}}").passages
    assert passage.hands == (Hand.RIGHT,)


@pytest.mark.parametrize(
    "written", ["[Rhythmen, Hände getrennt]", "Rhythmen, hands apart", "[Rhythms, Hands-Apart]"]
)
def test_families_by_their_other_names(tmp_path: Path, written: str) -> None:
    (passage,) = marks_of(tmp_path, f"measures: 12\n    drills: {written}").passages
    assert [each.family for each in passage.drills or ()] == ["rhythms", "hands-apart"]


@pytest.mark.parametrize("family", OPTIONS)
def test_families_by_their_names_in_either_language(tmp_path: Path, family: str) -> None:
    """As the booklet prints them, alone and in brackets; what is no family is told as it stands."""
    for language in ("en", "de"):
        for text in (say_family(family, language), f"[{say_family(family, language)}]"):
            (passage,) = marks_of(tmp_path, f"measures: 12\n    drills: {text}").passages
            assert [each.family for each in passage.drills or ()] == [family]


def test_words_of_another_language_where_they_have_one_meaning(tmp_path: Path) -> None:
    head = (
        "language: Deutsch\ntempo: {beat: punktierte Viertel, goal: 60}\nsound: ja\n"
        "practice: {rest_days: [Sonntag, mittwochs]}\nhands: {12: {upper: links}}\n"
    )
    drills = "measures: 12\n    drills: [Rhythmen: {variants: [lang-kurz]}]"
    marks = marks_of(tmp_path, drills, head)
    assert marks.language == "de"
    assert marks.sound
    assert marks.tempo.beat is not None
    assert marks.tempo.beat.value == Fraction(3, 2)
    assert marks.practice.rest_days == (6, 2)
    assert marks.hand_marks[0].hand is Hand.LEFT
    (request,) = marks.passages[0].drills or ()
    assert isinstance(request.options, RhythmOptions)
    assert request.options.variants == ("long-short",)


def test_the_table_of_other_words_leads_to_words_of_ours() -> None:
    assert set(tables.HANDS.values()) == {"right", "left", "both"}
    assert set(tables.STATUSES.values()) == set(schema.STATUSES)
    assert set(tables.BEATS.values()) == set(BEAT_UNITS)
    assert set(tables.WEEKDAYS.values()) == set(schema.WEEKDAYS)
    assert set(tables.FAMILY_NAMES.values()) - {EVERYTHING} <= set(OPTIONS)
    assert set(tables.RHYTHMS.values()) <= set(PATTERNS)
    keys = {*tables.FILE, *tables.PASSAGE, *sum(tables.TABLES.values(), ())}
    assert set(tables.KEYS.values()) <= keys


@pytest.mark.parametrize(
    ("written", "meant"), [("finished", "done"), ("fertig", "done"), ("warm up", "warm-up")]
)
def test_states_by_their_other_names(tmp_path: Path, written: str, meant: str) -> None:
    (passage,) = marks_of(tmp_path, f"{{measures: 12, status: {written}}}").passages
    assert passage.status == meant


@pytest.mark.parametrize("written", ["rhythms", "[rhythms]", "{rhythms: {}}"])
def test_one_family_without_brackets(tmp_path: Path, written: str) -> None:
    text = f"measures: 12\n    drills: {written}" if written[0] != "{" else None
    if text is None:
        text = "measures: 12\n    drills: [rhythms: {}]"
    (passage,) = marks_of(tmp_path, text).passages
    assert passage.drills is not None
    assert [each.family for each in passage.drills] == ["rhythms"]


def test_families_with_options_and_no_dash(tmp_path: Path) -> None:
    written = "measures: 12\n    drills:\n      rhythms: {variants: [long-short]}\n      chain:"
    (passage,) = marks_of(tmp_path, written).passages
    assert [each.family for each in passage.drills or ()] == ["rhythms", "chain"]


@pytest.mark.parametrize(
    "written",
    ["12 to 14", "Takt 12 bis 14", "mm. 12—14", "T. 12 - 14", "bars 12–14", "m.12-14"],
)
def test_measures_as_they_are_spoken_of(tmp_path: Path, written: str) -> None:
    (passage,) = marks_of(tmp_path, f"measures: {written}").passages
    assert str(passage.measures.value) == "12-14"


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("lesson: 20.2.2027", "write year, month and day: 2027-02-20"),
        ("lesson: soon", "write year, month and day: 2027-03-14"),
        ("practice: {minutes_a_day: 30 min}", "only 30"),
        ("practice: {minutes_a_day: 30 mins.}", "only 30"),
        ("practice: {minutes_a_day: half an hour}", "a number from 5 to 480"),
    ],
)
def test_a_hint_has_what_is_to_be_written(tmp_path: Path, written: str, hint: str) -> None:
    with pytest.raises(Mistakes) as caught:
        marks_of(tmp_path, "12", f"{written}\n")
    assert [each.hint for each in caught.value.errors] == [hint]


def test_several_families_in_a_row(tmp_path: Path) -> None:
    (passage,) = marks_of(tmp_path, "measures: 12\n    drills: rhythms, chain").passages
    assert [each.family for each in passage.drills or ()] == ["rhythms", "chain"]


@pytest.mark.parametrize(
    "written", ['"1 2 3 1 2 3"', "123123", "1, 2, 3, 1, 2, 3", "“1 2 3 1 2 3”", "„1 2 3 1 2 3“"]
)
def test_fingers_as_they_are_typed(tmp_path: Path, written: str) -> None:
    text = f"measures: 12\n    hand: right\n    fingering:\n      12.1: {written}"
    (passage,) = marks_of(tmp_path, text).passages
    (fingering,) = passage.fingering
    assert [word for (word,) in fingering.words] == [1, 2, 3, 1, 2, 3]


def test_a_tempo_alone_is_the_goal_and_a_range_alone_a_passage(tmp_path: Path) -> None:
    marks = marks_of(tmp_path, "12-14", "tempo: 120\npractice: {rest_days: sunday}\n")
    assert marks.tempo.goal is not None
    assert marks.tempo.goal.value == 120
    assert str(marks.passages[0].measures.value) == "12-14"
    assert marks.practice.rest_days == (6,)


def test_a_text_cut_by_a_comment_is_told(tmp_path: Path) -> None:
    marks = marks_of(tmp_path, "measures: 12   # mine\n    trouble: The F # is uneven")
    (notice,) = marks.notices
    assert '"The F # is uneven"' in notice.message
    assert notice.source is not None
    assert (notice.source.line, notice.source.column) == (4, 14)
    assert marks_of(tmp_path, "measures: 12\n    trouble: The F   # a remark").notices == ()
    assert marks_of(tmp_path, 'measures: 12\n    trouble: "The F # is" # x').notices == ()


def test_a_quotation_mark_alone_is_told_and_one_beside_numbers_is_no_matter(
    tmp_path: Path,
) -> None:
    passage = 'measures: 12"\n    hand: right\n    fingering: {12.1": 1 2"}\n    trouble: slow"'
    marks = marks_of(tmp_path, passage)
    assert str(marks.passages[0].measures.value) == "12"
    assert [word for (word,) in marks.passages[0].fingering[0].words] == [1, 2]
    (notice,) = marks.notices
    assert notice.message == ('a quotation mark stands alone in this text, and is printed: slow"')


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"{\\rtf1\\ansi score: x}", "formatted text"),
        (b"PK\x03\x04....word/document.xml....", "word processor"),
        (b"PK\x03\x04..mimetypeapplication/vnd.oasis.opendocument.text", "word processor"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "word processor"),
        (b"%PDF-1.7", "a PDF"),
        (b"\x89PNG\r\n", "a picture"),
        ("score: x".encode("utf-16"), "UTF-16"),
        (b"<!DOCTYPE html><p>score: x", "web page"),
        (b'<?xml version="1.0"?><score-partwise/>', "a score"),
        (b"**kern\n*clefG2\n", "a score"),
        (b"X:1\nT:Tune\nK:C\n", "a score"),
        (b"MThd\x00\x00\x00\x06", "MIDI"),
        (b"# mine\n\nlog: 1  # of the first form\n# all\nentries:\n", "a log"),
    ],
)
def test_what_is_no_marks_file_is_called_by_its_name(
    tmp_path: Path, content: bytes, said: str
) -> None:
    path = tmp_path / "marks.yaml"
    path.write_bytes(content)
    with pytest.raises(Mistakes) as caught:
        read_marks(path, OPTIONS)
    (error,) = caught.value.errors
    assert said in error.message
    assert error.hint


@pytest.mark.parametrize("text", ["log: 1\n", "log: 1.log.yaml\nentries: 2\n", "#" * 4000])
def test_marks_that_begin_with_their_log_are_marks(text: str, tmp_path: Path) -> None:
    path = tmp_path / "marks.yaml"
    path.write_text(text)
    with pytest.raises(Mistakes) as caught:
        read_marks(path, OPTIONS)
    assert not any("this is a log" in error.message for error in caught.value.errors)


@pytest.mark.parametrize("ending", endings.SCORES)
def test_a_score_given_as_marks_is_sent_to_new(ending: str, tmp_path: Path) -> None:
    path = tmp_path / f"rondo{ending}"
    path.write_bytes(b"whatever it holds")
    with pytest.raises(Mistakes) as caught:
        read_marks(path, OPTIONS)
    assert caught.value.errors[0].hint == f"for a first marks file of it: engrave new rondo{ending}"
