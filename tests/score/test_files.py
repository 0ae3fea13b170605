"""Files that mean no good, or are not what they say: each is one clear error."""

from pathlib import Path

import pytest

from engrave.errors import EngraveError, Source
from engrave.score import held, read_score
from engrave.score.formats import files, limits
from tests.score.build import back, document, head, measure, note, packed

ONE = measure(1, note("C4", 4), back(4), note("C3", 4, voice=5, staff=2), head=head())
PIECE = document(("Piano", ONE))


def told(path: Path) -> EngraveError:
    with pytest.raises(EngraveError) as caught:
        read_score(path, source=Source("marks.yaml", 2, 8))
    assert caught.value.source == Source("marks.yaml", 2, 8)
    return caught.value


def written(folder: Path, name: str, content: str | bytes) -> Path:
    path = folder / name
    path.write_bytes(content.encode("utf-8") if isinstance(content, str) else content)
    return path


@pytest.mark.parametrize("name", ["piece.mxl", "piece.musicxml"])
def test_a_compressed_score_is_read_whatever_its_suffix(tmp_path: Path, name: str) -> None:
    path = written(tmp_path, name, packed({"score.xml": PIECE.encode()}))
    assert len(read_score(path).sheet.bars) == 1


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "latin-1"])
def test_encodings(tmp_path: Path, encoding: str) -> None:
    said = encoding.removesuffix("-sig")
    text = PIECE.replace('encoding="UTF-8"', f'encoding="{said}"').replace("Piano", "Flügel")
    assert read_score(written(tmp_path, "a.musicxml", text.encode(encoding))).part == "Flügel"


def test_entities_are_refused(tmp_path: Path) -> None:
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    outside = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    for number, declared in enumerate((bomb, outside)):
        text = document(("Piano", ONE), before=declared).replace("Piano", "&a;")
        plain = told(written(tmp_path, f"{number}.musicxml", text))
        assert plain.message == f"{number}.musicxml is refused: it declares the XML entity 'a'"
        inside = packed({"score.xml": text.encode()})
        assert "declares the XML entity" in told(written(tmp_path, f"{number}.mxl", inside)).message


def test_a_document_type_alone_is_harmless_and_not_fetched(tmp_path: Path) -> None:
    doctype = '<!DOCTYPE score-partwise PUBLIC "-//x//y" "http://127.0.0.1:9/partwise.dtd">'
    text = document(("Piano", ONE), before=doctype)
    assert len(read_score(written(tmp_path, "a.musicxml", text)).sheet.bars) == 1


@pytest.mark.parametrize("name", ["../score.xml", "a/../../b.xml", "/etc/score.xml", "C:\\a.xml"])
def test_names_that_lead_outside_are_refused(tmp_path: Path, name: str) -> None:
    for archive in (packed({name: b"x"}), packed({"score.xml": PIECE.encode(), name: b"x"})):
        error = told(written(tmp_path, "a.mxl", archive))
        assert error.message == "a.mxl is refused: it holds a file that would lie outside it"


def test_a_bomb_of_zeros_is_not_unpacked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "MAX_UNPACKED", 2**20)
    bomb = packed({"score.xml": b"0" * (2**20 + 1)})
    assert len(bomb) < 2**13
    error = told(written(tmp_path, "a.mxl", bomb))
    assert error.message == "a.mxl is refused: it unpacks to more than 1 MiB"


def test_files_too_large_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(held, "MAX_BYTES", 2**10)
    error = told(written(tmp_path, "a.musicxml", "x" * (2**10 + 1)))
    assert error.message == "a.musicxml is larger than 0 MiB"


def test_scores_without_end_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from engrave.score.formats import musicxml

    monkeypatch.setattr(musicxml, "MOST_NOTES", 1)
    error = told(written(tmp_path, "a.musicxml", PIECE))
    assert error.message == "a.musicxml has 2 notes to read, more than 1"


@pytest.mark.parametrize(
    ("name", "content", "message"),
    [
        ("a.mxl", b"PK\x03\x04 broken", "a.mxl cannot be unpacked: File is not a zip file"),
        ("a.mxl", packed({"other.xml": b"x"}), "a.mxl holds no score: "),
        ("a.musicxml", "", "a.musicxml is damaged: its XML cannot be read"),
        ("a.musicxml", PIECE[:500], "a.musicxml is damaged: its XML cannot be read"),
        ("a.xml", "<html/>", "a.xml is no score: its XML begins with 'html'"),
        ("a.musicxml", "<score-partwise/>", "a.musicxml has no parts with notes"),
        ("a.pdf", b"%PDF", "a.pdf is a picture of a score: "),
        ("a.png", b"\x89PNG", "a.png is a picture of a score: "),
        ("a.proj", b"PK\x03\x04", "a.proj is a program's own file"),
        ("a.ly", b"x = 1", "a.ly is of no kind that can be read"),
        ("a.mid", b"MThd", "a.mid is damaged: it cannot be read as a score"),
        ("a.krn", "**kern\nzzz\n4", "a.krn has no notes"),
        ("a.krn", "**kern\t**kern\n4c\t4e\n4d\n*-\t*-", "a.krn is "),
        ("a.abc", "%%abc-include /etc/hostname\nX:1\nK:C\nC", "a.abc is refused: it includes"),
    ],
)
def test_what_is_not_a_score(tmp_path: Path, name: str, content: str | bytes, message: str) -> None:
    assert told(written(tmp_path, name, content)).message.startswith(message)


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    assert told(tmp_path / "none.mxl").message == "there is no score none.mxl"
    (tmp_path / "a.mxl").mkdir()
    assert told(tmp_path / "a.mxl").message == "a.mxl cannot be read: Is a directory"


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("<octave>4<", "<octave>99<", "measure 1 cannot be meant: a note stands in octave 99"),
        ("<alter>0<", "<alter>4<", "measure 1 cannot be meant: a note is altered by 4 semitones"),
        ("<duration>480<", "<duration>99999999<", "measure 1 cannot be meant: it is longer than"),
        ("<duration>480<", "<duration>nan<", "measure 1 cannot be meant: the reader"),
        ("<beats>4<", "<beats>99999999<", "a meter of 99999999 beats cannot be meant"),
        ("<divisions>120<", "<divisions>0<", "a.musicxml: divisions 0 cannot be meant"),
        ("<type>whole</type>", "<type>whole</type>" + "<dot/>" * 9, "measure 1 cannot be meant: a"),
        ("<staves>2<", "<staves>5<", "the part 'Piano' has 5 staves, where 4 can"),
    ],
)
def test_numbers_that_cannot_be_meant(
    tmp_path: Path, before: str, after: str, message: str
) -> None:
    assert before in PIECE
    error = told(written(tmp_path, "a.musicxml", PIECE.replace(before, after)))
    assert error.message.startswith(message)


@pytest.mark.parametrize("text", ["M:129/4", "*M9999/4", "x\t*M9999/4", "[M:200/8]"])
def test_meters_without_end_in_text(text: str) -> None:
    with pytest.raises(EngraveError, match="cannot be meant"):
        limits.refuse_endless_meters(text)
    limits.refuse_endless_meters("M:6/8\n*M12/16\n[M:128/4]\nT:M:129/4")
