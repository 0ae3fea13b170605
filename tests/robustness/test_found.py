"""What hundreds of hand-made files and faults have shown, each as a small one of its own."""

import json
import lzma
import os
import socket
import subprocess
import sys
import time
import zipfile
from pathlib import Path
from shutil import rmtree
from threading import Event, Thread

import pytest

from engrave.cli import main
from engrave.errors import EngraveError
from engrave.score import read_score, read_twice
from engrave.watch.looking import saves
from tests.desk.test_site import Desk
from tests.desk.test_site import desk as desk
from tests.score.build import back, document, head, measure, note

LOW = (back(4), note("C3", 4, voice=5, staff=2))
RUN = tuple(note(pitch, "1/2") for pitch in ("C5", "D5", "E5", "F5", "G5", "F5", "E5", "D5"))


def written(path: Path, *measures: str, before: str = "") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(document(("Piano", "".join(measures)), before=before), "utf-8")
    return path


def marked(score: Path, passage: str, more: str = "") -> Path:
    path = score.with_suffix(".yaml")
    path.write_text(
        f"score: {score.name}\n{more}tempo: {{goal: 96}}\npassages: [{passage}]\n", "utf-8"
    )
    return path


def test_a_compressed_score_whose_packing_is_damaged(tmp_path: Path) -> None:
    path = tmp_path / "piece.mxl"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_LZMA) as archive:
        archive.writestr("META-INF/container.xml", b"<container/>" * 500)
    data = bytearray(path.read_bytes())
    at = data.index(b"container.xml") + len(b"container.xml") + 12
    data[at : at + 12] = b"\xff" * 12
    path.write_bytes(bytes(data))
    with pytest.raises((lzma.LZMAError, zipfile.BadZipFile)), zipfile.ZipFile(path) as archive:
        archive.read("META-INF/container.xml")
    with pytest.raises(EngraveError, match="cannot be unpacked"):
        read_score(path)


@pytest.mark.parametrize("name", ["1²", "9" * 5000, "١", "", "-1", "\u202e1"])
def test_measures_of_strange_names(
    tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    first = measure(1, *RUN, *LOW, head=head())
    strange = measure(2, *RUN, *LOW).replace('number="2"', f'number="{name}"')
    marks = marked(written(tmp_path / "piece.musicxml", first, strange), "{measures: 1}")
    assert main(["check", str(marks)]) == 0
    told = capsys.readouterr()
    assert "\u202e" not in told.out + told.err
    assert max(map(len, (told.out + told.err).splitlines())) < 500


def test_a_score_s_finger_that_no_hand_can_take_is_left_out_and_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    finger = "<technical><fingering>1</fingering></technical>"
    chord = note("C5", 4, notations=finger) + note("E5", 4, chord=True, notations=finger)
    score = written(
        tmp_path / "piece.musicxml",
        measure(1, *RUN, *LOW, head=head()),
        measure(2, chord, *LOW),
    )
    marks = marked(score, "{measures: 1-2, hand: right, drills: [staccato]}")
    assert main(["check", str(marks)]) == 0
    assert "1-1" in capsys.readouterr().err


def test_a_movement_that_is_not_there_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    score = written(tmp_path / "piece.musicxml", measure(1, *RUN, *LOW, head=head()))
    for command in (
        ["survey", str(score), "--movement", "7"],
        ["new", str(score), "--movement", "7"],
    ):
        main(command)
        assert "7" in capsys.readouterr().err, command


def test_where_readers_differ_it_is_said_what_to_do(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lost = "<attributes><measure-style><measure-repeat type='start' slashes='1'>1</measure-repeat>"
    repeat = measure(2, f"{lost}</measure-style></attributes>", *RUN, *LOW)
    score = written(tmp_path / "piece.musicxml", measure(1, *RUN, *LOW, head=head()), repeat)
    if not read_twice(score).differences:
        pytest.skip("this verovio reads repeated measures as music21 does")
    assert main(["check", str(marked(score, "{measures: 2}"))]) == 2
    told = capsys.readouterr().err
    assert "two readers of the score find different notes" in told
    assert "hint: compare the measure with the print" in told


HOSTILE = "A\x1b]0;x\x07 <b> \u202e title: # 'q' \"d\""


def test_titles_that_would_steer_a_terminal_become_marks_that_are_taken(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    title = HOSTILE.replace("\x1b", "").replace("\x07", "").replace("<b>", "&lt;b>")
    text = document(("Pi\u009bano\u202e", measure(1, *RUN, *LOW, head=head())))
    text = text.replace(
        "<part-list>", f"<work><work-title>{title}\u009b31m</work-title></work><part-list>"
    )
    score = tmp_path / "piece.musicxml"
    score.write_text(text.replace("'4.0'>", "'4.0'>"), "utf-8")
    assert main(["new", str(score), "--percent", "50"]) in (0, 2)
    first = capsys.readouterr()
    if score.with_suffix(".yaml").exists():
        assert main(["check", str(score.with_suffix(".yaml"))]) == 0
    second = capsys.readouterr()
    said = first.out + first.err + second.out + second.err
    assert not {"\x1b", "\u009b"} & set(said)


def test_two_staves_of_abc_become_a_booklet(tmp_path: Path) -> None:
    score = tmp_path / "piece.abc"
    score.write_text(
        "X:1\nT:Two\nM:2/4\nL:1/16\nK:C\nV:1\ncdefgfed|cdefgfed|\nV:2 clef=bass\nC,8|C,8|\n",
        "utf-8",
    )
    marks = marked(score, "{measures: 1, hand: right, drills: [staccato]}")
    assert main(["build", str(marks), "--out", str(tmp_path / "out")]) == 0
    made = json.loads((tmp_path / "out" / "piece" / "manifest.json").read_text("utf-8"))
    assert len(made["passages"]) == 1


@pytest.mark.skipif(not hasattr(os, "fork"), reason="folders in use can be taken away there")
def test_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    script = (
        "import os, sys; os.rmdir(os.getcwd())\n"
        "from engrave.cli import main; sys.exit(main(sys.argv[1:]))"
    )
    for command in (["check", "a.yaml"], ["build", "a.yaml"], ["new", "a.musicxml"]):
        gone.mkdir(exist_ok=True)
        done = subprocess.run(
            [sys.executable, "-c", script, *command], cwd=gone, capture_output=True, text=True
        )
        assert done.returncode == 2, done.stderr
        assert "error: " in done.stderr
        assert "Traceback" not in done.stderr


def test_a_folder_that_is_deleted_and_made_again_is_watched_on(tmp_path: Path) -> None:
    folder, ended, seen = tmp_path / "scores", Event(), Event()
    folder.mkdir()

    def look() -> None:
        for _ in saves(lambda: {folder}, ended):
            if (folder / "new.yaml").exists():
                seen.set()

    watcher = Thread(target=look, daemon=True)
    watcher.start()
    time.sleep(0.3)
    rmtree(folder)
    time.sleep(0.3)
    folder.mkdir()
    for number in range(60):
        (folder / "new.yaml").write_text(f"score: {number}\n", "utf-8")
        if seen.wait(0.25):
            break
    ended.set()
    assert seen.is_set()


def test_a_line_that_is_reset_says_nothing_and_the_page_answers_on(
    desk: Desk, capfd: pytest.CaptureFixture[str]
) -> None:
    for _ in range(5):
        with socket.create_connection(("127.0.0.1", desk.server.port), 60) as line:
            line.sendall(b"GET /x/events HTTP/1.1\r\nHost: ")
            line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\1\0\0\0\0\0\0\0")
    assert desk.get("words.json")[0] == 200
    told = capfd.readouterr()
    assert told.out + told.err == ""


def test_a_request_without_a_version_is_not_kept_waiting(desk: Desk) -> None:
    with socket.create_connection(("127.0.0.1", desk.server.port), 60) as line:
        secret = desk.server.address.rstrip("/").rpartition("/")[2]
        head = f"GET /{secret}/events\r\nHost: 127.0.0.1:{desk.server.port}\r\n\r\n"
        line.sendall(head.encode())
        assert line.recv(1000) == b""


def test_a_marks_file_whose_name_is_no_text_is_not_built(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    score = written(tmp_path / "piece.musicxml", measure(1, *RUN, *LOW, head=head()))
    named = tmp_path / os.fsdecode(b"caf\xe9.yaml")
    marked(score, "{measures: 1}").rename(named)
    assert main(["build", str(named), "--out", str(tmp_path / "out")]) == 2
    assert "give caf?.yaml another name" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_where_what_prints_cannot_be_loaded_the_build_says_what_to_install(tmp_path: Path) -> None:
    score = written(tmp_path / "piece.musicxml", measure(1, *RUN, *LOW, head=head()))
    marks = marked(score, "{measures: 1}")
    (tmp_path / "stands" / "weasyprint").mkdir(parents=True)
    lacking = "raise OSError(\"cannot load library 'libpango-1.0-0'\\n\")\n"
    (tmp_path / "stands" / "weasyprint" / "__init__.py").write_text(lacking, "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "engrave", "build", str(marks), "--out", str(tmp_path / "out")],
        env=os.environ | {"PYTHONPATH": str(tmp_path / "stands"), "XDG_CACHE_HOME": str(tmp_path)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 2
    assert "error: pages cannot be printed here: cannot load library" in done.stderr
    assert "hint: install Pango" in done.stderr
    assert not (tmp_path / "out").exists()
