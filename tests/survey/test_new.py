"""``engrave survey`` and ``engrave new``: what they print, write, refuse, and what can be built."""

import json
import re
import shutil
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.marks import read_marks
from engrave.pipeline.checking import check
from engrave.score import measures_of, read_score
from engrave.survey.table import LOADS
from tests.works import ROOT, corpus

WORKS = {
    "rondo": (ROOT / "scores" / "lantern-rondo.musicxml", []),
    "rag": (corpus() / "joplin" / "maple_leaf_rag.mxl", ["--goal", "92"]),
    "sonata": (corpus() / "mozart" / "k545" / "movement1_exposition.mxl", ["--language", "de"]),
    "polonaise": (corpus() / "schumann_clara" / "polonaise_op1n3.mxl", ["--stretch-cm", "18"]),
    "song": (corpus() / "schubert" / "Lindenbaum.xml", ["--part", "Piano"]),
}


def laid(name: str, folder: Path) -> tuple[Path, list[str]]:
    source, options = WORKS[name]
    return Path(shutil.copy(source, folder)), options


@pytest.mark.parametrize("name", WORKS)
def test_a_first_marks_file_can_be_built_at_once(name: str, tmp_path: Path) -> None:
    path, options = laid(name, tmp_path)
    assert main(["new", str(path), *options]) == 0
    marks = path.with_suffix(".yaml")
    checked = check(marks)
    read = read_marks(marks)
    assert read.passages
    assert all(each.trouble and each.drills for each in read.passages)
    assert len(checked.drills) > len(checked.passages)


def test_about_six_measures_of_a_hundred_are_marked(tmp_path: Path) -> None:
    path, _ = laid("rondo", tmp_path)
    for percent, most in (("6", 9), ("20", 24)):
        out = tmp_path / f"{percent}.yaml"
        assert main(["new", str(path), "--percent", percent, "--out", str(out)]) == 0
        bars = {bar.name for each in check(out).passages for bar in each.passage.sheet.bars}
        share = 100 * len(bars) / len(measures_of(read_score(path).sheet))
        assert float(percent) / 2 <= share <= most


def test_what_is_there_is_never_written_over(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _ = laid("sonata", tmp_path)
    path.with_suffix(".yaml").write_text("the teacher's own", "utf-8")
    assert main(["new", str(path)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert path.with_suffix(".yaml").read_text("utf-8") == "the teacher's own"


def test_a_marks_file_stands_beside_its_score(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "scores").mkdir()
    (tmp_path / "marks").mkdir()
    path, _ = laid("sonata", tmp_path / "scores")
    assert main(["new", str(path), "--out", str(tmp_path / "marks" / "x.yaml")]) == 2
    assert "stands beside its score" in capsys.readouterr().err
    assert main(["new", str(path), "--out", str(tmp_path / "x.yaml")]) == 0
    check(tmp_path / "x.yaml")


def test_a_file_name_is_written_as_it_is(tmp_path: Path) -> None:
    """White space of titles is evened out; a file of another name is another file."""
    source, _ = WORKS["rondo"]
    path = tmp_path / "rondo  no. 1 (\u00e9) # 'x'.musicxml"
    shutil.copy(source, path)
    assert main(["new", str(path), "--out", str(tmp_path / "x.yaml")]) == 0
    assert f'score: "{path.name}"' in (tmp_path / "x.yaml").read_text("utf-8")


def test_a_marks_file_can_be_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, _ = laid("sonata", tmp_path)
    assert main(["new", str(path), "--out", "-"]) == 0
    printed = capsys.readouterr().out
    assert list(tmp_path.glob("*.yaml")) == []
    (tmp_path / "printed.yaml").write_text(printed, "utf-8")
    check(tmp_path / "printed.yaml")
    assert sum(line.lstrip().startswith("#") for line in printed.splitlines()) > 8


def test_the_table_names_every_stretch(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, _ = laid("rondo", tmp_path)
    assert main(["survey", str(path), "--count", "4"]) == 0
    printed = capsys.readouterr().out
    assert "first quarter note = 96" in printed
    rows = re.findall(r"^ +(\d) +(\S+) +(right|left|both) +(\d+) ", printed, re.MULTILINE)
    assert [row[0] for row in rows] == ["1", "2", "3", "4"]
    assert "drills: " in printed
    assert max(map(len, printed.splitlines())) <= 100


def test_json_says_all_of_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, _ = laid("rondo", tmp_path)
    picture = tmp_path / "strip.svg"
    assert main(["survey", str(path), "--json", "--picture", str(picture)]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["score"]["measures"] == 101
    assert told["tempo"]["from"] == "marks"
    assert set(told["loads"]) == set(LOADS)
    assert len(told["stretches"]) == 6
    for stretch in told["stretches"]:
        assert stretch["drills"]
        assert all(part["unit"] == LOADS[part["load"]].unit for part in stretch["parts"])
    assert told["difficulty"]["value"] > 0
    assert picture.read_bytes().startswith(b"<svg")


@pytest.mark.parametrize(
    "arguments",
    [
        ["nowhere.musicxml"],
        ["{score}", "--goal", "fast"],
        ["{score}", "--part", "Kazoo"],
        ["{score}", "--picture", "no/such/folder.svg"],
    ],
)
def test_mistakes_are_told_without_a_traceback(
    arguments: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _ = laid("sonata", tmp_path)
    words = [each.replace("{score}", str(path)) for each in arguments]
    assert main(["survey", *words]) == 2
    assert "error:" in capsys.readouterr().err
