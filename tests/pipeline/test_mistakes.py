"""Mistakes that only the score can show, told by ``check`` where they stand, all at once.

The expected errors and warnings stand as comments above the line that causes them: see
``tests/told.py``. The scores are ``small_scores`` and the demo.
"""

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from engrave.errors import EngraveError, Mistakes, Notice
from engrave.pipeline.checking import check
from tests.pipeline.small_scores import write_scores
from tests.told import expected, told_at
from tests.works import DEMO

FILES = sorted(Path(__file__).with_name("mistakes").glob("*.yaml"))


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with all scores and all marks."""
    made = tmp_path_factory.mktemp("mistakes")
    write_scores(made)
    shutil.copy(DEMO.score, made)
    for path in FILES:
        shutil.copy(path, made)
    return made


def told_by_check(path: Path) -> Sequence[EngraveError | Notice]:
    try:
        return check(path).notices
    except Mistakes as mistakes:
        return mistakes.errors


def test_there_are_mistakes_to_tell() -> None:
    assert sum(len(expected(path)) for path in FILES) > 60
    assert all(expected(path) for path in FILES)


@pytest.mark.parametrize("name", [path.name for path in FILES])
def test_mistakes_are_told_where_they_stand(folder: Path, name: str) -> None:
    path = folder / name
    assert told_at(path, told_by_check(path)) == expected(path)


def test_a_fingering_of_the_scores_that_no_hand_can_take(tmp_path: Path) -> None:
    """They are told and left out: the teacher's passage is built all the same."""
    write_scores(tmp_path)
    score = tmp_path / "ferry.musicxml"
    fingered = "<notations><technical><fingering>2</fingering></technical></notations>"
    head, measure, rest = score.read_text("utf-8").partition('<measure number="8">')
    chord, end, after = rest.partition("</measure>")
    chord = chord.replace("</note>", f"{fingered}</note>", 2)
    score.write_text(head + measure + chord + end + after, "utf-8")
    marks = tmp_path / "marks.yaml"
    text = "score: ferry.musicxml\ntempo: {goal: 96}\npassages:\n  - {measures: 8, hand: right}\n"
    marks.write_text(text, "utf-8")
    assert [str(each).replace("\u00a0", " ") for each in told_by_check(marks)] == [
        f"{marks}:4:16: warning: measure 8, right hand: no hand takes C 5 and B 5 with the fingers "
        "2-2, which the score prints; they are left out, and others suggested"
    ]


COUNTED, REACHED = "2 fingers for 1 key (C5)", "no hand takes C5 B5"


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ("paper: foolscap", [COUNTED, REACHED]),
        ("performance: soon", [COUNTED, REACHED]),
        ("tempo: {gaol: 96}", [COUNTED, REACHED]),  # and no goal is missed
        ("tempo: {goal: 9}", [COUNTED, REACHED]),
        ("student: {stretch: 12}", [COUNTED]),  # and what a wider hand reaches is not refused
        ("hands: {10: {lower: rigth}}", []),  # whose the key is, nobody knows
        ("hadns: {10: {lower: right}}", []),
        ("part: [Piano]", []),
    ],
)
def test_what_a_mistake_may_have_changed_is_not_told(
    tmp_path: Path, wrong: str, told: list[str]
) -> None:
    """Fingers are counted whatever else is wrong, but for whose the notes are."""
    write_scores(tmp_path)
    marks = tmp_path / "marks.yaml"
    tempo = "" if wrong.startswith("tempo") else "tempo: {goal: 96}\n"
    marks.write_text(
        f"score: ferry.musicxml\n{wrong}\n{tempo}passages:\n"
        '  - {measures: 10, hand: right, fingering: {"10.1": "1-3 1-2"}}\n'
        '  - {measures: 8, hand: right, fingering: {"8.1": "1-2"}}\n',
        "utf-8",
    )
    with pytest.raises(Mistakes) as caught:
        check(marks)
    of_the_file, *more = (each.message for each in caught.value.errors)
    assert not of_the_file.startswith((COUNTED, REACHED))
    assert [each.partition(" at ")[0] for each in more] == told
