"""What breaking marks and scores at random has shown, each as a small file of its own.

``cases`` holds marks, and the score beside them where it is not the demo. The first line of the
marks says how far they come, and what they showed when they were found.
"""

import re
import shutil
from pathlib import Path

import pytest

from tests.robustness.trial import problem
from tests.works import DEMO

CASES = Path(__file__).with_name("cases")
MARKS = sorted(CASES.glob("*.yaml"))


def test_every_score_belongs_to_marks() -> None:
    named = {re.search("^score: (.*)", path.read_text("utf-8"), re.MULTILINE) for path in MARKS}
    kept = {path.name for path in CASES.iterdir() if path.suffix != ".yaml"}
    assert {name[1] for name in named if name} == kept | {DEMO.score.name}


@pytest.mark.parametrize("marks", MARKS, ids=lambda path: path.stem)
def test_a_case_comes_as_far_as_it_should(marks: Path, tmp_path: Path) -> None:
    folder = tmp_path / "in"
    shutil.copytree(CASES, folder)
    shutil.copy(DEMO.score, folder)
    said = re.match("# (built|refused): ", marks.read_text("utf-8"))
    assert said, marks
    assert problem(folder / marks.name, tmp_path / "out", with_build=True) == (said[1], "")
