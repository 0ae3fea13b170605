"""What a path on the command line lays on the desk."""

from pathlib import Path

import pytest

from engrave.desk.opening import opened
from engrave.errors import EngraveError


@pytest.fixture
def score(tmp_path: Path) -> Path:
    path = tmp_path / "rondo.musicxml"
    path.write_text("<score-partwise/>")
    return path


def test_a_score_without_marks_begins_a_file_named_like_it(score: Path) -> None:
    found = opened(score, part="Piano", movement=2)
    assert found.marks == score.with_suffix(".yaml")
    assert found.first_text == (
        'piece: {movement: 2}\nscore: "rondo.musicxml"    # beside this file\npart: "Piano"\n'
    )
    assert not found.marks.exists()


def test_a_file_is_begun_in_the_language_of_whoever_begins_it(score: Path) -> None:
    assert opened(score, language="de").first_text == (
        'score: "rondo.musicxml"    # liegt neben dieser Datei\nlanguage: de\n'
    )


def test_a_score_opens_the_marks_that_name_it(score: Path) -> None:
    score.with_name("nell.yaml").write_text("score: rondo.musicxml\npassages: [{measures: 1}]\n")
    score.with_name("other.yaml").write_text("score: else.musicxml\n")
    score.with_name("broken.yaml").write_text("score: [\n")
    assert opened(score).marks == score.with_name("nell.yaml")


def test_several_marks_files_are_asked_about(score: Path) -> None:
    for name in ("ada.yaml", "nell.yaml"):
        score.with_name(name).write_text("score: rondo.musicxml\n")
    with pytest.raises(EngraveError, match=r"ada\.yaml, nell\.yaml") as caught:
        opened(score)
    assert caught.value.hint.endswith(f"engrave desk {score.with_name('ada.yaml')}")


def test_a_name_that_is_taken_is_told(score: Path) -> None:
    score.with_suffix(".yaml").write_text("score: else.musicxml\n")
    with pytest.raises(EngraveError, match="does not name it"):
        opened(score)


def test_marks_open_as_they_are(score: Path) -> None:
    marks = score.with_suffix(".yaml")
    marks.write_text("not: [yaml")
    assert opened(marks).marks == marks
    with pytest.raises(EngraveError, match="no such file"):
        opened(score.with_name("nothing.krn"))


@pytest.mark.parametrize(
    ("content", "what"),
    [
        (b"# nell\nlog: 1\nentries:\n", "this is a log, not a marks file"),
        (b"<?xml version='1.0'?>\n<score-partwise/>", "this is a score, not a marks file"),
        (b"\xff\xfes\x00", "this is UTF-16 text"),
    ],
)
def test_what_no_marking_can_mend_is_not_opened(score: Path, content: bytes, what: str) -> None:
    other = score.with_name("nell.log.yaml")
    other.write_bytes(content)
    with pytest.raises(EngraveError, match=what) as caught:
        opened(other)
    assert caught.value.hint
