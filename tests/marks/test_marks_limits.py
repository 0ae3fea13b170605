"""Limits of a marks file, and files that are no marks at all."""

import os
from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import EngraveError, Mistakes
from engrave.marks import read_marks
from engrave.marks.reader import MOST_PASSAGES
from engrave.marks.scalars import LONGEST_LINE, LONGEST_TEXT
from engrave.marks.text import MOST_BYTES
from engrave.marks.tree import DEEPEST, MOST_NODES

HEAD = b"score: rondo.musicxml\npassages: [{measures: 12}]\n"


def mistakes(folder: Path, data: bytes) -> tuple[EngraveError, ...]:
    (folder / "rondo.musicxml").touch()
    (folder / "marks.yaml").write_bytes(data)
    with pytest.raises(Mistakes) as caught:
        read_marks(folder / "marks.yaml", OPTIONS)
    return caught.value.errors


def only(folder: Path, data: bytes) -> tuple[str, int, int]:
    (error,) = mistakes(folder, data)
    assert error.source is not None
    assert error.hint
    return error.message, error.source.line, error.source.column


def test_no_file(tmp_path: Path) -> None:
    for path in (tmp_path / "none.yaml", tmp_path):
        with pytest.raises(Mistakes) as caught:
            read_marks(path, OPTIONS)
        assert [str(error).splitlines()[0] for error in caught.value.errors] == [
            f"{path}: error: there is no such file"
        ]


@pytest.mark.parametrize("data", [b"", b"\n\n", b"# nothing but a comment\n", b"\xef\xbb\xbf"])
def test_an_empty_file(tmp_path: Path, data: bytes) -> None:
    assert only(tmp_path, data) == ("the file is empty", 0, 0)


@pytest.mark.parametrize("data", [b"---\n", b"score", b"- score\n"])
def test_a_file_that_is_no_mapping(tmp_path: Path, data: bytes) -> None:
    message, line, _ = only(tmp_path, data)
    assert message.startswith("a key with a value is wanted here")
    assert line in (1, 2)


def test_size(tmp_path: Path) -> None:
    filled = HEAD + b"#" * (MOST_BYTES - len(HEAD))
    (tmp_path / "rondo.musicxml").touch()
    (tmp_path / "marks.yaml").write_bytes(filled)
    assert read_marks(tmp_path / "marks.yaml", OPTIONS).passages
    assert only(tmp_path, filled + b"#") == ("the file is larger than 1,000,000 bytes", 0, 0)


def test_remarks_of_ten_megabytes(tmp_path: Path) -> None:
    data = HEAD + b"teacher: " + b"x" * 10_000_000
    assert only(tmp_path, data)[0] == "the file is larger than 1,000,000 bytes"


def test_bytes_that_are_not_utf_8(tmp_path: Path) -> None:
    latin = HEAD + "teacher: Frau Müller\n".encode("latin-1")
    assert only(tmp_path, latin) == ("this is not UTF-8 text", 3, 16)
    assert only(tmp_path, HEAD.decode().encode("utf-16")) == ("this is UTF-16 text", 0, 0)


def test_control_characters(tmp_path: Path) -> None:
    assert only(tmp_path, HEAD + b"teacher: a\x00b") == ("the character U+0000 is not text", 3, 11)


def test_length_of_texts(tmp_path: Path) -> None:
    line, prose = b"x" * LONGEST_LINE, b"y" * LONGEST_TEXT
    head = b"score: rondo.musicxml\nteacher: %s\npassages:\n- measures: 1\n  remarks: %s\n"
    (tmp_path / "rondo.musicxml").touch()
    (tmp_path / "marks.yaml").write_bytes(head % (line, prose))
    marks = read_marks(tmp_path / "marks.yaml", OPTIONS)
    assert (marks.teacher.encode(), marks.passages[0].remarks.encode()) == (line, prose)
    errors = mistakes(tmp_path, head % (line + b"x", prose + b"y"))
    assert [(error.message, error.hint) for error in errors] == [
        ("this text has 301 characters", "300 is the most that fits here"),
        ("this text has 20,001 characters", "20,000 is the most that fits here"),
    ]


def test_number_of_passages(tmp_path: Path) -> None:
    entries = b"- measures: 1\n" * MOST_PASSAGES
    (tmp_path / "rondo.musicxml").touch()
    (tmp_path / "marks.yaml").write_bytes(b"score: rondo.musicxml\npassages:\n" + entries)
    assert len(read_marks(tmp_path / "marks.yaml", OPTIONS).passages) == MOST_PASSAGES
    data = b"score: rondo.musicxml\npassages:\n" + entries + b"- measures: 1\n"
    assert only(tmp_path, data) == ("a list of 201 is too long", 3, 1)


def test_number_of_fingers(tmp_path: Path) -> None:
    passage = b'measures: 12, hand: left, fingering: {"12.1": "%s"}'
    full = b"score: rondo.musicxml\npassages: [{" + passage + b"}]\n"
    (tmp_path / "rondo.musicxml").touch()
    (tmp_path / "marks.yaml").write_bytes(full % (b"1 2 3 4 " * 250))
    assert read_marks(tmp_path / "marks.yaml", OPTIONS).passages
    message = only(tmp_path, full % (b"1 2 3 4 " * 250 + b"5"))[0]
    assert message == "1,001 words stand here"


def test_number_of_entries(tmp_path: Path) -> None:
    message, *_ = only(tmp_path, b"score: rondo.musicxml\npassages:\n" + b"- a\n" * MOST_NODES)
    assert message == "more than 50,000 entries"


@pytest.mark.parametrize("opening", [b"[", b"{a: ", b"- ", b"? "])
def test_nesting(tmp_path: Path, opening: bytes) -> None:
    message, *_ = only(tmp_path, opening * 100_000)
    assert message == f"nested more than {DEEPEST} deep"


def test_a_bomb_of_aliases(tmp_path: Path) -> None:
    levels = [b"a: &a [x, x]\n"]
    levels += [b"%c: &%c [*%c, *%c]\n" % (n, n, n - 1, n - 1) for n in range(98, 118)]
    errors = mistakes(tmp_path, HEAD + b"".join(levels))
    assert sum(error.message == "anchors (&) are not read" for error in errors) == 21
    assert sum(error.message == "aliases (*) are not read" for error in errors) == 40


def test_a_link_out_of_the_folder(tmp_path: Path) -> None:
    folder = tmp_path / "marks"
    folder.mkdir()
    (tmp_path / "secret.musicxml").touch()
    (folder / "link.musicxml").symlink_to(tmp_path / "secret.musicxml")
    (folder / "elsewhere").symlink_to(tmp_path)
    (folder / "circle").symlink_to("circle")
    for score in ("link.musicxml", "elsewhere/secret.musicxml"):
        data = HEAD.replace(b"rondo.musicxml", score.encode())
        assert only(folder, data) == (f"'{score}' leads out of the folder by a link", 1, 8)
    assert only(folder, HEAD.replace(b"rondo.musicxml", b"circle"))[0] == (
        "'circle' cannot be followed to a file"
    )


def test_a_link_inside_the_folder(tmp_path: Path) -> None:
    (tmp_path / "scores").mkdir()
    (tmp_path / "scores" / "real.musicxml").touch()
    (tmp_path / "rondo.musicxml").symlink_to(tmp_path / "scores" / "real.musicxml")
    (tmp_path / "marks.yaml").write_bytes(HEAD)
    assert read_marks(tmp_path / "marks.yaml", OPTIONS).score.value == tmp_path / "rondo.musicxml"


def test_a_score_that_is_no_regular_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.musicxml")
    data = HEAD.replace(b"rondo.musicxml", b"pipe.musicxml")
    assert only(tmp_path, data)[0] == "there is no file 'pipe.musicxml'"


def test_a_name_longer_than_a_file_can_have(tmp_path: Path) -> None:
    data = HEAD.replace(b"rondo.musicxml", b"n" * 299)
    message, line, column = only(tmp_path, data)
    assert message.endswith("cannot be followed to a file")
    assert (line, column) == (1, 8)


def test_the_file_is_named_as_it_was_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "scores").mkdir()
    (tmp_path / "scores" / "rondo.yaml").write_bytes(HEAD)
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Mistakes) as caught:
        read_marks(Path("scores/rondo.yaml"), OPTIONS)
    assert str(caught.value.errors[0]).startswith("scores/rondo.yaml:1:8: error: there is no file")
