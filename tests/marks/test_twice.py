"""Two passages of the same measures and hand, and names that are near to none."""

from pathlib import Path

import pytest

from engrave.drills import OPTIONS
from engrave.errors import Mistakes
from engrave.marks import read_marks


def marks_of(tmp_path: Path, *passages: str) -> Path:
    (tmp_path / "a.krn").write_text("x")
    path = tmp_path / "a.yaml"
    listed = "".join(f"  - {{{each}}}\n" for each in passages)
    path.write_text(f"score: a.krn\npassages:\n{listed}", "utf-8")
    return path


@pytest.mark.parametrize(
    ("second", "is_told"),
    [
        ("measures: 1-2, hand: right", True),
        ("measures: 1-2, hand: left", False),
        ("measures: 1-3, hand: right", False),
        ("measures: 1-2, hand: right, status: done", False),
    ],
)
def test_the_same_measures_and_hand_are_told_at_the_second(
    second: str, is_told: bool, tmp_path: Path
) -> None:
    path = marks_of(tmp_path, "measures: 1-2, hand: right", second)
    told = [str(each) for each in read_marks(path, OPTIONS).notices]
    said = f"{path}:4:16: warning: passage 1 has the same measures and hand"
    assert told == ([said] if is_told else [])


@pytest.mark.parametrize(
    ("name", "hint"),
    [("sprints", "known here: "), ("leeps", "did you mean 'leaps'?"), ("sprunge", "'leaps'?")],
)
def test_only_what_is_near_is_suggested(name: str, hint: str, tmp_path: Path) -> None:
    with pytest.raises(Mistakes) as caught:
        read_marks(marks_of(tmp_path, f"measures: 1, drills: [{name}]"), OPTIONS)
    assert hint in caught.value.errors[0].hint
