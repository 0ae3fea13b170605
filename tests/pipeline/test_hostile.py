"""Marks and a score that mean no good, through the whole command: what they say is printed as text.

What is refused outright is tested where it is read: ``tests/score/test_files.py`` and
``tests/marks/test_marks_limits.py``.
"""

import json
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pikepdf
import pytest

from engrave.cli import main
from engrave.drills import OPTIONS
from engrave.marks import read_marks
from tests.booklet import pdf
from tests.score.build import back, direction, document, head, measure, note

TAG = "<script>alert(1)</script>"
IMAGE = '<img src="http://127.0.0.1:9/x.png" onerror="alert(1)">'
SHAPES = {"svg", "g", "path", "text", "title", "rect", "circle", "ellipse", "line", "tspan"}
"""Elements of a drawing that can do nothing but be drawn."""

MARKS = {
    "piece": {"title": f"{TAG} {{{{ 7*7 }}}}", "composer": IMAGE},
    "score": "piece.musicxml",
    "student": {"name": f"Nell {TAG}"},
    "teacher": "</body>Tobias",
    "performance": "2027-03-14",
    "tempo": {"beat": "quarter", "goal": 96},
    "passages": [
        {
            "id": "run",
            "measures": "1-2",
            "hand": "right",
            "trouble": f"{IMAGE} url(http://127.0.0.1:9/y)",
            "remarks": "<style>*{display:none}</style> &lt;b&gt; ]]> ${HOME} %(x)s",
            "private": "<a href='file:///etc/passwd'>look</a>",
            "drills": ["rhythms", "staccato"],
        }
    ],
}


def escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def hostile_score() -> str:
    """Markup wherever a score has words: title, part, directions, tempo, lyrics, number."""
    lyric = f"<lyric><text>{escaped(IMAGE)}</text></lyric>"
    notes = [note(f"{step}5", "1/4") for step in "CDEFGAB"] + [note("C6", "1/4")]
    notes[0] = notes[0].replace("</note>", f"{lyric}</note>")
    words = direction(f"<words>dolce {escaped(TAG)}</words>")
    rehearsal = direction("<rehearsal>A&lt;use href='#x'/&gt;</rehearsal>")
    tempo = direction(f"<words font-weight='bold'>Allegro {escaped(IMAGE)}</words>")
    bass = (back(2), note("C3", 2, voice=5, staff=2))
    first = measure(1, tempo, words, *notes, *bass, head=head("2/4"))
    second = measure(2, rehearsal, *notes[1:], note("C6", "1/4"), *bass)
    text = document((escaped(TAG), first + second))
    work = f"<work><work-title>{escaped(TAG)}</work-title></work>"
    return text.replace("<part-list>", f"{work}<part-list>")


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the command makes of them, in all editions."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / "piece.musicxml").write_text(hostile_score(), "utf-8")
    (folder / "marks.yaml").write_text(json.dumps(MARKS), "utf-8")
    editions = [f"--edition={name}" for name in ("student", "stand", "masterclass")]
    out = folder / "out"
    assert (
        main(["build", str(folder / "marks.yaml"), "--no-cache", "--out", str(out), *editions]) == 0
    )
    return out / "marks"


def test_drawings_hold_shapes_and_text_and_nothing_else(built: Path) -> None:
    said = ""
    for path in sorted(built.rglob("*.svg")):
        for element in ElementTree.parse(path).getroot().iter():
            assert element.tag.rpartition("}")[2] in SHAPES, path
            assert not [name for name in element.attrib if name.startswith("on") or "href" in name]
            said += element.text or ""
    assert f"dolce {TAG}" in said
    assert IMAGE not in said, "words with an address are a page's, not the music's"
    assert "A<use href='#x'/>" in said


def test_notation_holds_no_markup_but_its_own(built: Path) -> None:
    for path in sorted(built.rglob("*.musicxml")):
        tags = {element.tag for element in ElementTree.parse(path).getroot().iter()}
        assert not tags & {"script", "img", "use"}


@pytest.mark.parametrize("edition", ["student", "stand", "masterclass"])
def test_pages_show_it_as_text_and_can_do_nothing(built: Path, edition: str) -> None:
    data = (built / f"marks-{edition}.pdf").read_bytes()
    said = "".join("".join(pdf.texts(data)).split())
    assert "<script>alert(1)</script>{{7*7}}" in said
    assert '<imgsrc="http://127.0.0.1:9/x.png"onerror="alert(1)">' in said
    if edition != "stand":  # which is music alone
        assert 'onerror="alert(1)">url(http://127.0.0.1:9/y)' in said
    if edition == "student":
        assert "<style>*{display:none}</style>&lt;b&gt;]]>${HOME}%(x)s" in said
        assert "<ahref='file:///etc/passwd'>look</a>" in said
    with pikepdf.open(built / f"marks-{edition}.pdf") as document:
        names = {key for each in document.objects for key in keys(each)}
        actions = {str(each["/S"]) for each in document.objects if is_action(each)}
    assert not names & {"/JavaScript", "/JS", "/OpenAction", "/AA", "/EmbeddedFiles", "/URI"}
    assert actions <= {"/GoTo"}


def keys(thing: Any) -> Iterator[str]:
    """The keys of a PDF object, and of those that stand inside it."""
    inside: Iterable[object] = ()
    if isinstance(thing, pikepdf.Dictionary | pikepdf.Stream):
        yield from thing.keys()
        inside = dict(thing.items()).values()
    elif isinstance(thing, pikepdf.Array):
        inside = list(thing)
    for value in inside:
        if not getattr(value, "is_indirect", False):
            yield from keys(value)


def is_action(thing: Any) -> bool:
    return (
        isinstance(thing, pikepdf.Dictionary) and "/S" in thing and thing.get("/Type") == "/Action"
    )


def test_a_survey_and_first_marks_hold_it_as_text(tmp_path: Path) -> None:
    score, picture = tmp_path / "piece.musicxml", tmp_path / "strip.svg"
    hostile = hostile_score().replace(
        "&lt;/script&gt;", "\"'}\nscore: /etc/passwd # &lt;/script&gt;"
    )
    score.write_text(hostile, "utf-8")
    assert main(["survey", str(score), "--goal", "96", "--picture", str(picture)]) == 0
    found = {each.tag.rpartition("}")[2] for each in ElementTree.parse(picture).getroot().iter()}
    assert found <= SHAPES
    assert main(["new", str(score), "--goal", "96"]) == 0
    marks = read_marks(tmp_path / "piece.yaml", OPTIONS)
    assert marks.score.value == score
    assert marks.piece.title.startswith("<script>alert(1)")
    assert "passwd" not in marks.piece.title, "a title is one line"


def test_marks_that_are_a_link_look_for_the_score_beside_the_link(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    far, near = tmp_path / "far", tmp_path / "near"
    far.mkdir()
    near.mkdir()
    (far / "piece.musicxml").write_text(hostile_score(), "utf-8")
    (far / "marks.yaml").write_text(json.dumps(MARKS), "utf-8")
    (near / "marks.yaml").symlink_to(far / "marks.yaml")
    assert main(["check", "--no-cache", str(near / "marks.yaml")]) == 2
    assert "there is no file 'piece.musicxml'" in capsys.readouterr().err
    (near / "piece.musicxml").symlink_to(far / "piece.musicxml")
    assert main(["check", "--no-cache", str(near / "marks.yaml")]) == 2
    assert "'piece.musicxml' leads out of the folder by a link" in capsys.readouterr().err


def test_nothing_is_asked_of_the_network_or_of_other_folders(tmp_path: Path) -> None:
    """Python tells of every connection and every file that it is about to open (PEP 578)."""
    opened: list[str] = []
    asked: list[str] = []
    started: list[str] = []
    watching = True

    def watch(event: str, arguments: tuple[Any, ...]) -> None:
        if not watching:
            return
        if event in ("socket.connect", "socket.getaddrinfo", "urllib.Request", "os.system"):
            asked.append(event)
        elif event == "subprocess.Popen":
            started.append(arguments[0])
        elif event == "open" and isinstance(arguments[0], str):
            opened.append(arguments[0])

    (tmp_path / "piece.musicxml").write_text(hostile_score(), "utf-8")
    (tmp_path / "marks.yaml").write_text(json.dumps(MARKS), "utf-8")
    sys.addaudithook(watch)
    try:
        out = tmp_path / "out"
        code = main(["build", str(tmp_path / "marks.yaml"), "--no-cache", "--out", str(out)])
    finally:
        watching = False
    assert code == 0
    assert str(tmp_path / "piece.musicxml") in opened
    assert not asked
    assert set(started) <= {sys.executable}  # the second reader of the score
    assert not [name for name in opened if "passwd" in name or "x.png" in name]
