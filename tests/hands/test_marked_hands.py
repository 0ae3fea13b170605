"""``hands:`` of the marks: every form, what it binds, and what is wrong with it."""

from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import Mistakes
from engrave.hands import divide
from engrave.marks import HandMark, MarksMistakes, read_marks
from engrave.music.notes import Hand
from tests.hands.lines import bar, hands, score

BASS = (5, 2, "r*1/2 C3+G3*1/2 r*1/2 G2*1/2")
SCORE = score(
    bar((1, 1, "G5*1/2 r*1/2 A5*1/2 r*1/2"), (2, 1, "C5*1/2 r*1/2 D5*1/2 r*1/2"), BASS),
    bar((1, 1, "G5*1/2 r*1/2 A5*1/2 r*1/2"), BASS, name="2"),
)


def marked(folder: Path, text: str) -> tuple[HandMark, ...]:
    """The marks for hands of a file with these lines."""
    (folder / "a.musicxml").write_text("<score/>", "utf-8")
    path = folder / "a.yaml"
    path.write_text(f"score: a.musicxml\n{text}\n", "utf-8")
    return read_marks(path, OPTIONS).all_hand_marks


def at_top(folder: Path, hands: str) -> tuple[HandMark, ...]:
    return marked(folder, f"hands: {hands}\npassages: [{{measures: 1-2}}]")


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [
        ("{1: {upper: left}}", {1: "L L", 2: "L L", 5: "LL L"}, {1: "R R", 5: "LL L"}),
        ("{1.2-2.1: {lower: right}}", {1: "R R", 2: "R R", 5: "LL R"}, {1: "R R", 5: "RR L"}),
        ('{"1": {1: left}}', {1: "L L", 2: "L L", 5: "LL L"}, {1: "R R", 5: "LL L"}),
        ("{1: {upper: {stems-down: left}}}", {1: "R R", 2: "L L", 5: "LL L"}, None),
        ("{1: {upper: {stems-up: left}}}", {1: "L L", 2: "R R", 5: "LL L"}, None),
        ("{1-2: {G3: right}}", {1: "R R", 2: "R R", 5: "LR L"}, {1: "R R", 5: "LR L"}),
        ("{1: {lower: right, G2: left}}", {1: "R R", 2: "R R", 5: "RR L"}, None),
    ],
)
def test_every_form_binds_what_it_names(
    tmp_path: Path, text: str, first: dict[int, str], second: dict[int, str] | None
) -> None:
    found = divide(SCORE, at_top(tmp_path, text)).score.sheet
    assert hands(found) == first
    assert second is None or hands(found, 1) == second


def test_a_passage_wins_over_the_file(tmp_path: Path) -> None:
    marks = marked(
        tmp_path,
        "hands: {1: {upper: left}}\npassages: [{measures: 1, hands: {1.2: {upper: right}}}]",
    )
    assert hands(divide(SCORE, marks).score.sheet)[1] == "L R"


def test_the_teacher_wins_over_everything_and_is_told(tmp_path: Path) -> None:
    (taken,) = divide(SCORE, at_top(tmp_path, "{1: {C5: left}}")).handovers
    assert (taken.hand, taken.why, taken.places) == (Hand.LEFT, "marks", ("1.1",))


@pytest.mark.parametrize(
    ("text", "message", "column"),
    [
        ("{3: {upper: left}}", "there is no measure 3", 9),
        ("{1: {3: left}}", "the score has no staff 3", 13),
        ("{1: {F5: left}}", "F5 is not struck in measure 1", 13),
        ("{2: {upper: {stems-down: left}}}", "nothing is struck on the upper staff with stems", 21),
    ],
)
def test_what_the_score_does_not_have_is_told_where_it_stands(
    tmp_path: Path, text: str, message: str, column: int
) -> None:
    with pytest.raises(Mistakes) as caught:
        divide(SCORE, at_top(tmp_path, text))
    (error,) = caught.value.errors
    assert message in error.message
    assert error.source is not None
    assert (error.source.line, error.source.column) == (2, column)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("{1: left}", "a key with a value is wanted here"),
        ("{1: {middle: left}}", "'middle' is no staff and no key"),
        ("{1: {upper: both}}", "unknown hand 'both'"),
        ("{1: {upper: {stems: left}}}", "'stems' is no voice of a staff"),
        ("{x: {upper: left}}", "'x' is not a measure"),
        ("{2-1: {upper: left}}", "'2-1' runs backward"),
        ("[upper]", "a key with a value is wanted here"),
    ],
)
def test_what_is_no_mark_is_told_by_the_file(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(MarksMistakes) as caught:
        at_top(tmp_path, text)
    assert [message in error.message for error in caught.value.errors] == [True]


def test_marks_of_a_passage_lie_in_it(tmp_path: Path) -> None:
    with pytest.raises(MarksMistakes, match="1 mistakes") as caught:
        marked(tmp_path, "passages: [{measures: 2, hands: {1: {upper: left}}}]")
    assert caught.value.errors[0].message == "1 lies outside the passage"
