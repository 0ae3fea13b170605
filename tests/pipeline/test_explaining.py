"""``check --why``: a measure a line, the fingers of the booklet, and what is dear or odd."""

import shutil
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.fingering.costs import RULES
from engrave.pipeline.explaining import _reason
from engrave.words import LANGUAGES

DEMO = Path(__file__).parents[2] / "scores/lantern-rondo.yaml"


def why(name: str, capsys: pytest.CaptureFixture[str], marks: Path = DEMO) -> list[str]:
    assert main(["check", str(marks), "--why", name]) == 0
    return capsys.readouterr().out.splitlines()


def test_every_measure_is_told_in_words_with_the_fingers_of_the_marks(
    capsys: pytest.CaptureFixture[str],
) -> None:
    hand, *lines = why("climbing-chords", capsys)
    assert hand.startswith("right hand (")
    measures = [line for line in lines if line.startswith("  m. ")]
    fingers = [
        word.split()[-1] for line in measures for word in line.partition(": ")[2].split(", ")
    ]
    assert "".join(each[0] for each in fingers) == "5123512451235124"
    assert "the teacher’s" in hand


def test_a_passage_is_named_by_its_number_in_the_booklet_too(
    capsys: pytest.CaptureFixture[str],
) -> None:
    by_number = why("1", capsys)
    assert len(by_number) > 1
    assert by_number[0].endswith(")")


def test_an_unknown_passage_is_told_with_those_there_are(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["check", str(DEMO), "--why", "climbing"]) == 2
    assert "climbing-chords" in capsys.readouterr().err


def test_a_german_file_is_explained_in_german(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copy(DEMO.with_suffix(".musicxml"), tmp_path)
    marks = tmp_path / "de.yaml"
    marks.write_text(
        "language: de\nscore: lantern-rondo.musicxml\ntempo: {goal: 120}\n"
        "passages:\n  - {id: kette, measures: 41-44, hand: right}\n",
        "utf-8",
    )
    hand, *lines = why("kette", capsys, marks)
    assert hand.startswith("rechte Hand (")
    assert all("T. " in line or "Zählzeit " in line for line in lines)
    assert not any(word in line for line in lines for word in ("beat", "finger ", "the "))


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_rule_has_words(language: str) -> None:
    for rule in RULES:
        assert _reason(rule, language)
