"""``pages:`` in the marks: drills go by their worth until the booklet keeps to it."""

import json
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from engrave.cli import main
from engrave.errors import Source
from engrave.marks.placed import Placed
from engrave.pipeline.checking import Checked, check
from engrave.pipeline.fitting import _by_worth, fitted
from tests.pipeline.demo import edit, lay_out

SOURCE = Source("rondo.yaml", 1, 1)


@pytest.fixture(scope="module")
def checked(tmp_path_factory: pytest.TempPathFactory) -> Checked:
    return check(lay_out(tmp_path_factory.mktemp("scores")))


def built(marks: Path, out: Path) -> tuple[int, list[str]]:
    """How many pages the student's booklet has, and the ids of its drills."""
    assert main(["build", str(marks), "--out", str(out)]) == 0
    folder = out / marks.stem
    with pypdfium2.PdfDocument(folder / f"{marks.stem}-student.pdf") as document:
        pages = len(document)
    drills = json.loads((folder / "manifest.json").read_text())["drills"]
    on_disk = {path.stem for path in (folder / "drills").glob("*.musicxml")}
    assert on_disk == {each["id"] for each in drills}
    return pages, [each["id"] for each in drills]


def test_a_booklet_keeps_to_its_pages(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    marks = lay_out(tmp_path / "scores")
    all_pages, everything = built(marks, tmp_path / "out")
    edit(marks, "teacher: Tobias Quern", f"teacher: Tobias Quern\npages: {all_pages - 2}")
    capsys.readouterr()
    pages, drills = built(marks, tmp_path / "less")
    assert pages <= all_pages - 2
    assert set(drills) < set(everything)
    assert [each for each in everything if each in drills] == drills
    written = [each for each in everything if ".as-written." in each]
    assert written == [each for each in drills if ".as-written." in each]
    told = capsys.readouterr().err
    assert f"left out to keep to {all_pages - 2} pages" in told


def test_no_more_goes_than_has_to(checked: Checked) -> None:
    """Of pages that hold three drills each, the last one is filled."""
    everything = sum(len(each.drills) - 1 for each in checked.passages)
    heights = {drill.id: 80.0 for each in checked.passages for drill in each.drills}

    def pages_of(less: Checked) -> int:
        return 5 + -(-sum(len(each.drills) - 1 for each in less.passages) // 3)

    largest = max(map(len, _by_worth(checked)))
    for most in range(5, 5 + everything // 3):
        less = fitted(checked, Placed(most, SOURCE), 240.0, heights, pages_of)
        kept = sum(len(each.drills) - 1 for each in less.passages)
        assert pages_of(less) <= most
        assert 3 * (most - 5) - kept < largest  # the next to come back would be too much


def test_no_passage_is_left_without_a_drill_while_another_has_several(checked: Checked) -> None:
    """Also not one whose drills are all worth less than the least of the others'."""
    poor, *others = checked.passages
    poor = replace(poor, drills=tuple(replace(drill, worth=90) for drill in poor.drills))
    groups = _by_worth(replace(checked, passages=(poor, *others)))
    last = groups[-len(checked.passages) :]
    assert {group[0].passage for group in last} == {each.passage.id for each in checked.passages}
    assert [group[0].worth for group in groups[: -len(checked.passages)]] == sorted(
        (group[0].worth for group in groups[: -len(checked.passages)]), reverse=True
    )


def test_what_cannot_be_kept_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    marks = lay_out(tmp_path / "scores")
    edit(marks, "teacher: Tobias Quern", "teacher: Tobias Quern\npages: 2")
    _, drills = built(marks, tmp_path / "out")
    assert all(".as-written." in each for each in drills)
    told = capsys.readouterr().err
    assert "without any drills too" in told
    assert "left out to keep to 2 pages: rhythms (5), chain (1)" in told
