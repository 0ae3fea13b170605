"""``check --why``: an onset a line, the fingers of the booklet, and what each rule charges."""

from pathlib import Path

import pytest

from engrave.cli import main

DEMO = Path(__file__).parents[2] / "scores/lantern-rondo.yaml"


def test_every_onset_is_explained_with_the_fingers_of_the_marks(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", str(DEMO), "--why", "climbing-chords"]) == 0
    hand, *lines = capsys.readouterr().out.splitlines()
    assert hand == "right hand"
    assert [line.split()[2][0] for line in lines] == list("5123512451235124")
    assert any("thumb-on-black" in line for line in lines)


def test_an_unknown_passage_is_told_with_those_there_are(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", str(DEMO), "--why", "climbing"]) == 2
    assert "climbing-chords" in capsys.readouterr().err
