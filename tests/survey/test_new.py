"""``engrave survey`` and ``engrave new``: what they print, write, refuse, and what can be built."""

import json
import re
import shutil
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from engrave.cli import main
from engrave.drills import OPTIONS
from engrave.marks import read_marks
from engrave.music.notes import Hand
from engrave.pipeline.checking import check
from engrave.score import measures_of, read_score
from engrave.survey import Wanted, survey
from engrave.survey.table import LOADS
from tests.bench.jobs import study
from tests.survey.pieces import easy, score, with_hand
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
    read = read_marks(marks, OPTIONS)
    assert read.passages
    assert not any(each.trouble or each.drills for each in read.passages)
    assert len(checked.drills) > len(checked.passages)


def test_about_six_measures_of_a_hundred_are_marked(tmp_path: Path) -> None:
    """Three passages at least; and the last one may reach over the share by half of its length."""
    path, _ = laid("rondo", tmp_path)
    for percent, most in (("6", 12), ("20", 25)):
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
    rows = re.findall(r"^ +(\d) +(\S+) +(right|left|both) +[A-Z]", printed, re.MULTILINE)
    assert [row[0] for row in rows] == ["1", "2", "3", "4"]
    assert "Drills that answer it: " in printed
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
    for spot in told["stretches"]:
        assert spot["drills"]
        assert all(part["unit"] == LOADS[part["load"]].unit for part in spot["parts"])
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


def test_what_is_hard_stands_above_each_passage_in_plain_words(tmp_path: Path) -> None:
    """The trouble itself is the teacher's to say."""
    for name in ("rondo", "sonata"):
        path, options = laid(name, tmp_path)
        out = tmp_path / f"{name}.yaml"
        assert main(["new", str(path), *options, "--out", str(out)]) == 0
        text = out.read_text("utf-8")
        for number in range(1, len(read_marks(out, OPTIONS).passages) + 1):
            (said,) = re.findall(rf"^  # {number}\. (.+)$", text, re.MULTILINE)
            assert len(said) > 20
        assert not re.search(r"\bbits?\b|\bmm\b|%|a second\b|Sekunde", text)


def test_measures_that_a_reader_found_broken_are_never_chosen(tmp_path: Path) -> None:
    """The first passage's measures lose a note each: they are too short then."""
    path, _ = laid("rondo", tmp_path)
    first = tmp_path / "first.yaml"
    assert main(["new", str(path), "--out", str(first)]) == 0
    before = check(first).passages[0].passage
    broken = {bar.name for bar in before.sheet.bars}
    tree = ElementTree.parse(path)
    for part in tree.getroot().iterfind("part"):
        for measure in part.iterfind("measure"):
            if measure.get("number") in broken:
                for staff in ("1", "2"):
                    notes = [n for n in measure.iterfind("note") if n.findtext("staff") == staff]
                    plain = [
                        n for n in notes if n.find("chord") is None and n.find("grace") is None
                    ]
                    measure.remove(plain[-1])
    tree.write(path)
    after = tmp_path / "after.yaml"
    assert main(["new", str(path), "--out", str(after)]) == 0
    taken = {bar.name for each in check(after).passages for bar in each.passage.sheet.bars}
    assert not taken & broken


@pytest.mark.parametrize("language", ["en", "de"])
def test_figures_stand_in_a_table_that_explains_them(
    language: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, _ = laid("rondo", tmp_path)
    assert main(["survey", str(path), "--language", language]) == 0
    plain = capsys.readouterr().out
    assert not re.search(r"\bbits?\b|\bmm\b|%|a second\b|Sekunde", plain)
    assert main(["survey", str(path), "--language", language, "--figures"]) == 0
    measured = capsys.readouterr().out
    legend = measured.rpartition("\n\n")[2]
    assert {"en": "a second", "de": "Sekunde"}[language] in measured
    assert legend.count(":") >= 4
    assert max(map(len, measured.splitlines())) <= 100


def test_a_sequence_is_one_passage_and_its_other_places_are_named() -> None:
    """One figure on three steps, apart from each other, is told once."""
    music = easy(32)
    figure = ("C4:16 E4:16 D4:16 F4:16 " * 4, "D4:16 F4:16 E4:16 G4:16 " * 4)
    other = ("D4:16 F4:16 E4:16 G4:16 " * 4, "E4:16 G4:16 F4:16 A4:16 " * 4)
    for index, words in ((4, figure), (20, other)):
        music[index : index + 2] = [with_hand(music[0], Hand.RIGHT, each) for each in words]
    music = [replace(each, name=str(n)) for n, each in enumerate(music, 1)]
    told = survey(score(music, 96), wanted=Wanted(count=3)).spots
    firsts = [each for each in told if each.measures.first in ("5", "21")]
    assert len(firsts) == 1
    assert firsts[0].like


def test_a_file_s_name_is_told_to_be_no_title(tmp_path: Path) -> None:
    path = tmp_path / "easy_sonata.mxl"
    shutil.copy(corpus() / "mozart" / "k545" / "movement1_exposition.mxl", path)
    assert main(["new", str(path)]) == 0
    text = path.with_suffix(".yaml").read_text("utf-8")
    assert 'piece:\n  title: "Easy sonata"' in text
    assert "# the file's name: the score names no title" in text
    told = [str(each) for each in check(path.with_suffix(".yaml")).notices]
    line = text.splitlines().index(next(each for each in text.splitlines() if "title:" in each)) + 1
    assert any(f"yaml:{line}:10: warning: the title 'Easy sonata' is the" in each for each in told)


def test_a_place_that_is_only_played_through_waits_for_those_with_drills(tmp_path: Path) -> None:
    """The ornaments of measures 6 and 7 are harder than 9 and 10, which have a run and a leap."""
    path, _ = laid("polonaise", tmp_path)
    assert main(["new", str(path)]) == 0
    marked = check(path.with_suffix(".yaml")).passages
    assert len(marked) == 3
    assert all({drill.family for drill in each.numbered} != {"chain"} for each in marked)


def _cut_short(path: Path, odd: Collection[int]) -> None:
    """Take the end out of these measures of a study: six sixteenths stay, of eight."""
    tree = ElementTree.parse(path)
    for measure in tree.getroot().iterfind("part/measure"):
        if int(measure.get("number", "")) in odd:
            for staff, count in (("1", 2), ("2", 1)):
                notes = [n for n in measure.iterfind("note") if n.findtext("staff") == staff]
                for note in notes[-count:]:
                    measure.remove(note)
            back = measure.find("backup/duration")
            assert back is not None
            back.text = "6"
    tree.write(path)


def test_passages_go_round_measures_that_are_not_sure(tmp_path: Path) -> None:
    """Every spot of a study that goes on would take in one of them."""
    study(tmp_path / "study", 12)
    path, odd = tmp_path / "study" / "study.musicxml", {2, 5, 8, 11}
    _cut_short(path, odd)
    marks = tmp_path / "study" / "new.yaml"
    assert main(["new", str(path), "--out", str(marks)]) == 0
    taken = {int(bar.name) for each in check(marks).passages for bar in each.passage.sheet.bars}
    assert taken
    assert not taken & odd


@pytest.mark.parametrize(
    ("language", "said"), [("en", "2, 3, 4, 5, 6, 7, 8, 9 …"), ("de", "zweifelhaften")]
)
def test_where_nothing_is_sure_the_measures_are_named(
    language: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """But for the first, which is empty, all measures are too short."""
    study(tmp_path / "study", 12)
    path = tmp_path / "study" / "study.musicxml"
    _cut_short(path, range(2, 13))
    head, bar, rest = path.read_text("utf-8").partition('<measure number="2">')
    head = re.sub(r"<pitch>.*?</pitch>", "<rest/>", head)
    path.write_text(head + bar + rest, "utf-8")
    marks = path.with_name("new.yaml")
    assert main(["new", str(path), "--out", str(marks), "--language", language]) == 2
    assert said in capsys.readouterr().err
    assert not marks.exists()
