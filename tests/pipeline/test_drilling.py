"""A family that cannot print what it made is left out and said so; the others are made."""

from pathlib import Path

import pytest

from engrave.cli import main
from tests.checks.contract import read_output
from tests.works import Work, corpus

WORK = Work(
    "thirteen",
    corpus() / "cpebach" / "h186.mxl",
    """tempo: {beat: quarter, goal: 80}
passages:
  - {measures: 1-8, hand: both, drills: [hands-apart, outline]}
""",
)
"""Measure 5 has thirteen notes in two beats; the outline would break them up inside a beat."""


def test_the_other_families_are_made(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["build", str(WORK.write(tmp_path)), "--out", str(tmp_path / "out")]) == 0
    told = capsys.readouterr().err
    assert "warning: Outline: not written, because a beat would have to be divided" in told
    families = {drill.family for drill in read_output(tmp_path / "out" / WORK.name).drills}
    assert families == {"as-written", "hands-apart"}
