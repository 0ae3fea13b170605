"""What teachers write who never saw YAML, many of them German: one mistake, told once, in place."""

from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import EngraveError, Mistakes
from engrave.marks import Marks, read_marks
from engrave.marks.days import day
from engrave.marks.quotes import quoted_texts

FILE = """\
piece: {title: Rondo, composer: Ada Holm}
score: score.musicxml
practice: {minutes_a_day: 30, rest_days: [sunday]}
performance: 2027-03-14
passages:
  - measures: 12.3-14
    hand: left
    drills: [leaps]
  - measures: 22-24
"""


def read(tmp_path: Path, before: str, after: str) -> Marks:
    assert before in FILE
    (tmp_path / "score.musicxml").touch()
    marks = tmp_path / "marks.yaml"
    marks.write_text(FILE.replace(before, after, 1), "utf-8")
    return read_marks(marks, OPTIONS)


@pytest.mark.parametrize(
    ("before", "after", "place", "message", "hint"),
    [
        ("hand: left", "hand = left", (7, 5), "a colon is missing in this line", "hand: left"),
        ("hand: left", "hand:\u00a0left", (7, 10), "not a plain one", "press the space bar"),
        ("  - measures: 22", "  \u00a0- measures: 22", (9, 3), "not a plain one", "space bar"),
        ("  - measures: 22", "  – measures: 22", (9, 3), "plain hyphens", "write - measures: 22"),
        ("  - measures: 22", "  -measures: 22", (9, 4), "behind the dash", "- measures: 22"),
        ("performance", "// soon\nperformance", (4, 1), "begin with #", "write # soon"),
        ("30, rest", "30 rest", (3, 30), "a comma is missing", "…, rest_days: …"),
        ("Rondo, comp", "Rondo; comp", (1, 23), "a comma is missing", "…, composer: …"),
        ("[sunday]}", "[sunday}", (3, 42), "the bracket [ that opens here", "close it: [sunday]"),
        ("[sunday]", "So, Mi", (3, 46), "a comma ends", "rest_days: [So, Mi]"),
        ("sunday", "Sontag", (3, 43), "unknown weekday 'Sontag'", "did you mean 'sunday'?"),
        ("left", "linke hnad", (7, 11), "unknown hand", "did you mean 'left'?"),
        ("30,", "30 Minuten,", (3, 27), "must be a whole number", "only 30"),
        ("2027-03-14", "14.3.27", (4, 14), "is not a date", "2027-03-14"),
        ("2027-03-14", "Sonntag, 7. März 2027", (4, 14), "is not a date", "2027-03-07"),
        ("2027-03-14", "May 9th, 2027", (4, 14), "is not a date", "2027-05-09"),
        ("2027-03-14", "2027/03/21", (4, 14), "is not a date", "2027-03-21"),
        ("2027-03-14", "3rd May 2027", (4, 14), "is not a date", "2027-05-03"),
        ("2027-03-14", "31.2.2027", (4, 14), "is not a date", "month and day: 2027-03-14"),
        ("2027-03-14", "2027/25/12", (4, 14), "is not a date", "month and day: 2027-03-14"),
        ("2027-03-14", "2027-02-29", (4, 14), "in the calendar", "that month has 28 days"),
        ("drills", "tempo: ca. 96\n    drills", (8, 12), "must be a number", "only 96"),
        ("drills", "tempo: Viertel = 96\n    drills", (8, 12), "must be", "only 96; its beat"),
        ("drills: [leaps]", "fingering: 1, 2, 3", (8, 16), "need the place", '{"12.3": "1 2 3"}'),
        (
            "drills: [leaps]",
            'fingering: {"12.3": [5, 2, 1]}',
            *((8, 25), "not in brackets", 'write "5 2 1" in a row'),
        ),
        ("drills: [leaps]", "trouble: *here it is late", (8, 14), "aliases", "in quotes"),
        ("drills: [leaps]", "tempo: {step: 0,5}", (8, 21), "a comma ends", "step: 0.5"),
        ("drills: [leaps]", "remarks: light\n  and slow", (9, 3), "has no key", "with 6 spaces"),
        ("drills: [leaps]", "drills:\n    - leaps\n     - chain", (9, 7), "a dash below", "column"),
        (
            "hand: left\n    drills: [leaps]",
            "tempo:\n      goal: 96\n    hand: left\n      start: 48",
            *((10, 7), "too many spaces before this line: 6 instead of 4", "hand"),
        ),
    ],
)
def test_a_slip(
    tmp_path: Path, before: str, after: str, place: tuple[int, int], message: str, hint: str
) -> None:
    with pytest.raises(Mistakes) as caught:
        read(tmp_path, before, after)
    (error,) = caught.value.errors
    assert error.source is not None
    assert message in error.message
    assert hint in error.hint
    assert (error.source.line, error.source.column) == place


MONTHS = (
    ("January", "Januar", "Jänner", "Jan."),
    ("February", "Februar", "Feber", "Feb."),
    ("March", "März", "Mar.", "Mär."),
    ("April", "Apr."),
    ("May", "Mai"),
    ("June", "Juni", "Jun."),
    ("July", "Juli", "Jul."),
    ("August", "Aug."),
    ("September", "Sept."),
    ("October", "Oktober", "Oct.", "Okt."),
    ("November", "Nov."),
    ("December", "Dezember", "Dec.", "Dez."),
)


@pytest.mark.parametrize("names", MONTHS, ids=lambda names: str(names[0]))
def test_a_day_whose_month_is_in_letters_is_shown_as_it_is_to_be_written(
    names: tuple[str, ...],
) -> None:
    """English and German names, and how they are cut short: common usage, no source."""
    number = 1 + MONTHS.index(names)
    for name in names:
        with pytest.raises(EngraveError) as caught:
            day(f"7 {name} 2031")
        assert caught.value.hint == f"write year, month and day: 2031-{number:02}-07"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("[leaps]", "[Spruenge]"),
        ("[leaps]", "punktiert"),
        ("[sunday]", "[„Sonntag“]"),
        ("hand: left", "hand: “left”"),
        ("hand: left\n    drills: [leaps]", "hand: L\n    drills: [leaps: {}, chain: {by: Takt}]"),
    ],
)
def test_what_has_one_meaning_is_taken(tmp_path: Path, before: str, after: str) -> None:
    marks = read(tmp_path, before, after)
    assert marks.practice.rest_days == (6,)
    assert [each.value for each in marks.passages[0].hands] == ["left"]
    requests = marks.passages[0].drills or ()
    assert requests[0].family == ("rhythms" if "punkt" in after else "leaps")


@pytest.mark.parametrize("after", ["Auftakt", "0.", "12. bis 14.", "Takt 12.-14."])
def test_measures_as_a_german_writes_them(tmp_path: Path, after: str) -> None:
    marks = read(tmp_path, "22-24", after)
    wanted = "12-14" if "14" in after else "0"
    assert str(marks.passages[1].measures.value) == wanted


def test_passages_in_a_row_need_no_brackets(tmp_path: Path) -> None:
    at = FILE.index("passages:")
    marks = read(tmp_path, FILE[at:], "passages: 12-14, 22\n")
    assert [str(each.measures.value) for each in marks.passages] == ["12-14", "22"]
    assert marks.passages[1].measures.source.column == 18


def test_a_comma_hides_no_mistake_that_stands_before_it(tmp_path: Path) -> None:
    """Nor is what the comma alone makes of a text told beside it."""
    with pytest.raises(Mistakes) as caught:
        read(tmp_path, "  - measures: 22-24", "  - {measures: 24-22, 30, trouble: late, dull}")
    told = [(error.source and error.source.column, error.message) for error in caught.value.errors]
    assert [column for column, _message in told] == [16, 23, 42]
    assert [message.startswith("a comma ends") for _column, message in told] == [False, True, True]


def test_quotation_marks_in_a_text_of_lines_are_part_of_it() -> None:
    """YAML 1.2, 8.1.2: in a literal text nothing is a sign, until a line is less indented."""
    text = 'remarks: |\n  "Slow," she says,\n\n  \'and even.\n\nhand: "right"\n'
    (found,) = quoted_texts(text)
    assert text[found.start : found.end] == '"right"'
    assert found.depth == 0
