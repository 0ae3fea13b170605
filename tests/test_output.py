"""The whole job on real scores: what is written is as templates/reference/manifest.md says.

The demo, works of music21's corpus in several textures, and, where they lie beside the checkout,
the piano parts of songs. What was written is read back by ``tests/checks``, which knows that
page only.
"""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from engrave.cli import main
from tests.checks.all_checks import (
    cut_findings,
    editions,
    music_findings,
)
from tests.checks.figures import figure_findings
from tests.checks.manifest import manifest_findings, read_output
from tests.checks.pages import page_findings
from tests.checks.pictures import picture_findings
from tests.checks.sources import read_score
from tests.works import DEMO, WORKS, Built, Work

ALL = [
    pytest.param(
        work,
        id=work.name,
        marks=pytest.mark.skipif(not work.score.exists(), reason="the songs are not here"),
    )
    for work in (DEMO, *WORKS)
]


@pytest.fixture(scope="module", params=ALL)
def result(request: pytest.FixtureRequest, built: Callable[[Work], Built]) -> Built:
    """One work after the other, built once for all tests of it."""
    return built(request.param)


def test_the_manifest_is_as_its_page_says(result: Built) -> None:
    assert result.code == 0
    assert list(manifest_findings(read_output(result.folder))) == []


def test_every_drill_is_what_its_source_prescribes(result: Built) -> None:
    score = read_score(result.score, result.part)
    output = read_output(result.folder)
    assert [text for drill in output.drills for text in music_findings(drill, score)] == []
    cuts = sorted((result.folder / "passages").glob("*.musicxml"))
    assert [text for cut in cuts for text in cut_findings(cut, score)] == []


def test_figures_are_those_of_the_keys(result: Built) -> None:
    output = read_output(result.folder)
    pairs = zip(output.drills, output.manifest["drills"], strict=True)
    assert [text for drill, raw in pairs for text in figure_findings(drill, raw)] == []


def test_every_picture_has_ink_on_every_staff(result: Built) -> None:
    output = read_output(result.folder)
    assert [text for drill in output.drills for text in picture_findings(drill)] == []


def test_every_page_prints_what_the_manifest_promises(result: Built) -> None:
    output = read_output(result.folder)
    assert editions(output) == ["student"]
    assert list(page_findings(output, "student")) == []


def test_every_edition_prints_what_the_manifest_promises(tmp_path: Path) -> None:
    marks = DEMO.write(tmp_path)
    wanted = ["masterclass", "stand"]
    named = [word for edition in wanted for word in ("--edition", edition)]
    assert main(["build", str(marks), "--out", str(tmp_path), "--paper", "letter", *named]) == 0
    output = read_output(tmp_path / marks.stem)
    assert editions(output) == wanted
    assert [text for edition in wanted for text in page_findings(output, edition)] == []


MISTAKES = """piece: {title: Mistakes}
score: movement1_exposition.mxl
tempo: {beat: quarter, goal: quick}
passages:
  - measures: 5-8
    hand: rihgt
  - measures: 1-2
    hand: right
    drils: [rhythms]
  - measures: 5
    hand: right
    fingering: {"5.1": "1 2 7"}
  - measures: 11-14
    hand: left
"""
"""Five mistakes of five kinds: a tempo, a hand, a key, a finger, a measure past the end."""

PLACES = ((3, 30), (6, 11), (9, 5), (12, 29), (13, 15))
"""Where they stand, line and column from 1."""


def snapshot(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_five_mistakes_are_told_together_and_nothing_is_touched(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    work = next(work for work in WORKS if work.name == "k545")
    marks = work.write(tmp_path)
    out = tmp_path / "out"
    assert main(["build", str(marks), "--out", str(out)]) == 0
    before = snapshot(out)
    capsys.readouterr()

    marks.write_text(MISTAKES, "utf-8")
    assert main(["build", str(marks), "--out", str(out)]) == 2

    told = capsys.readouterr().err
    errors = re.findall(
        rf"^{re.escape(str(marks))}:(\d+):(\d+): error: .+\n +hint: .+$", told, re.M
    )
    assert [(int(line), int(column)) for line, column in errors] == list(PLACES), told
    assert "Traceback" not in told
    assert snapshot(out) == before
