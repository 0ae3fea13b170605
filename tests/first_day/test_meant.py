"""Words and files that are not there: what was meant instead is named."""

from pathlib import Path

import pytest

from engrave.cli import main
from tests.pipeline.demo import lay_out


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (["chek", "rondo.yaml"], "did you mean 'check'?"),
        (["rondo.yaml"], "did you mean 'engrave build rondo.yaml'?"),
        (["rondo.mxl"], "did you mean 'engrave new rondo.mxl'?"),
        (["build", "--editon", "stand"], "unrecognized arguments: --editon: did you mean"),
        (["build", "--edition", "stannd"], "did you mean 'stand'?"),
        (["bilud", "--language=de"], "den Befehl „bilud“ gibt es nicht: war „build“ gemeint?"),
    ],
)
def test_a_word_of_a_command(
    command: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):
        main(command)
    assert said in capsys.readouterr().err


@pytest.mark.parametrize(
    ("command", "hint"),
    [
        (["new", "lantern-rondo.mxl"], "did you mean 'lantern-rondo.musicxml'?"),
        (["new", "other.mxl"], "in this folder lie: lantern-rondo.musicxml"),
        (["desk", "lantern.mxl"], "did you mean 'lantern-rondo.musicxml'?"),
        (["survey", "gone/rondo.mxl"], "there is no folder gone"),
        (["check", "lantern-rond.yaml"], "did you mean 'lantern-rondo.yaml'?"),
        (["new", "empty/rondo.mxl"], "no file in the folder empty ends in .musicxml, .xml, "),
        (
            ["new", "empty/rondo.mxl", "--language", "de"],
            "in dem Ordner empty liegt keine Datei mit der Endung .musicxml, .xml, ",
        ),
    ],
)
def test_a_file_that_is_not_there(
    command: list[str],
    hint: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    lay_out(tmp_path)
    (tmp_path / "empty").mkdir()
    monkeypatch.chdir(tmp_path)
    assert main(command) == 2
    assert hint in capsys.readouterr().err


def test_a_log_in_which_nothing_can_be_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, bad = lay_out(tmp_path), tmp_path / "bad.log.yaml"
    bad.write_text("no log at all\n")
    assert main(["log", str(marks), str(bad)]) == 2
    assert "--rest" not in capsys.readouterr().err


@pytest.mark.parametrize("name", ["lantern-rondo.musicxml", "gone.yaml"])
def test_what_can_never_be_marks_is_not_watched(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert main(["watch", name, "--no-browser"]) == 2
    wanted = "there is no such file" if name == "gone.yaml" else "this is a score"
    assert wanted in capsys.readouterr().err


def test_numbers_and_beats_as_a_german_writes_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lay_out(tmp_path)
    monkeypatch.chdir(tmp_path)
    words = ["--goal", "Viertel=60", "--stretch-cm", "20,5", "--out", "-"]
    assert main(["new", "lantern-rondo.musicxml", *words]) == 0
    written = capsys.readouterr().out
    assert "stretch_cm: {left: 20.5, right: 20.5}" in written
    assert "tempo: {beat: quarter, goal: 60}" in written
