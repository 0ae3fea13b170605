"""Whose a finger is goes with it to the manifest: the teacher's, the score's, or suggested."""

import json
import shutil
from pathlib import Path

import pytest

from engrave.cli import main
from tests.score.build import back, document, head, measure, note
from tests.works import corpus

SCORES_OWN = {"C5": 2, "D5": 2, "E5": 3}


def _note(pitch: str) -> str:
    finger = SCORES_OWN.get(pitch)
    sign = f"<technical><fingering>{finger}</fingering></technical>" if finger else ""
    return note(pitch, "1/4", notations=sign)


def test_the_teachers_the_scores_and_those_that_are_suggested(tmp_path: Path) -> None:
    """The teacher's win over the score's, and both over computed ones."""
    run = "".join(_note(f"{step}5") for step in "CDEFGAB") + _note("C6")
    bar = measure(1, run, back(2), note("C3", 2, voice=5, staff=2), head=head("2/4"))
    (tmp_path / "run.musicxml").write_text(document(("Piano", bar)), "utf-8")
    marks = tmp_path / "run.yaml"
    marks.write_text(
        "score: run.musicxml\ntempo: {goal: 60}\n"
        "passages:\n  - {measures: 1, hand: right, drills: [as-written, staccato],\n"
        '     fingering: {"1.1": "1 . . 1 2"}}\n',
        "utf-8",
    )
    assert main(["build", str(marks), "--out", str(tmp_path / "out")]) == 0
    listed = json.loads((tmp_path / "out" / "run" / "manifest.json").read_text("utf-8"))
    for drill in listed["drills"]:
        right = [each for each in drill["source"] if each["hand"] == "right"]
        assert [each["fingers_from"] for each in right] == [
            "marks", "score", "score", "marks", "marks", "computed", "computed", "computed",
        ]  # fmt: skip
        assert [each["fingers"][0] for each in right[:5]] == [1, 2, 3, 1, 2]
    assert listed["drills"]


@pytest.mark.parametrize(
    ("language", "told"),
    [
        ("en", "31.2, left hand: one finger takes C sharp 2 and then C sharp 3 in a quick line"),
        ("de", "31.2, linke Hand: Ein Finger spielt in einer schnellen Linie erst Cis, dann cis"),
    ],
)
def test_check_tells_a_rule_that_suggested_fingers_break(
    language: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """C. P. E. Bach's H. 186: octaves from black to black in one hand, in thirty-seconds."""
    shutil.copy(corpus() / "cpebach" / "h186.mxl", tmp_path)
    marks = tmp_path / "adagio.yaml"
    marks.write_text(
        f"language: {language}\nscore: h186.mxl\ntempo: {{goal: 60}}\n"
        "passages:\n  - {measures: 30.3-31, hand: left}\n",
        "utf-8",
    )
    assert main(["check", str(marks)]) == 0
    warned = capsys.readouterr().err.replace("\u00a0", " ")
    assert f"adagio.yaml:5:16: {'warning' if language == 'en' else 'Warnung'}: {told}" in warned
