"""Several marks files at once: one bad file, one dead process, two of one name."""

import multiprocessing
import subprocess
import sys
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.pipeline.batch import Outcome, Task, build_all
from engrave.pipeline.styling import Job
from tests.pipeline.demo import files_of

SCORE = """<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name>
</score-part></part-list><part id="P1"><measure number="1"><attributes><divisions>4</divisions>
<time><beats>2</beats><beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef>
</attributes>{notes}</measure></part></score-partwise>"""
NOTE = """<note><pitch><step>{}</step><octave>4</octave></pitch><duration>1</duration>
<type>16th</type></note>"""
MARKS = "score: study.musicxml\ntempo: {goal: 96}\npassages: [{measures: 1, hand: right}]\n"


@pytest.fixture
def marks(tmp_path: Path) -> list[Path]:
    folder = tmp_path / "scores"
    folder.mkdir()
    notes = "".join(NOTE.format(step) for step in "CDEFGFED")
    (folder / "study.musicxml").write_text(SCORE.format(notes=notes))
    paths = [folder / f"{name}.yaml" for name in ("one", "two", "three", "four")]
    for path in paths:
        path.write_text(MARKS)
    return paths


def task(tmp_path: Path) -> Task:
    return Task(tmp_path / "out", Job(), tmp_path / "cache")


def test_a_bad_file_stops_no_other(marks: list[Path], tmp_path: Path) -> None:
    marks[1].write_text(MARKS.replace("measures: 1", "measures: 7"))
    marks[2].unlink()
    heard: list[Outcome] = []
    outcomes = build_all(marks, task(tmp_path), 2, heard.append)
    assert [outcome.marks for outcome in outcomes] == marks
    assert [outcome.is_built for outcome in outcomes] == [True, False, False, True]
    assert "there is no measure 7" in outcomes[1].mistakes[0]
    assert str(marks[2]) in outcomes[2].mistakes[0]
    assert sorted(heard, key=lambda outcome: marks.index(outcome.marks)) == outcomes
    one, four = (tmp_path / "out" / name for name in ("one", "four"))
    assert files_of(one)["one-student.pdf"] == files_of(four)["four-student.pdf"]


def test_a_dead_process_costs_nobody_else_a_booklet(marks: list[Path], tmp_path: Path) -> None:
    killed: list[int] = []

    def kill_once(_: Outcome) -> None:
        if not killed:
            for child in multiprocessing.active_children():
                child.kill()
                killed.append(1)

    outcomes = build_all(marks, task(tmp_path), 2, kill_once)
    assert killed
    assert all(outcome.is_built for outcome in outcomes)


def test_two_files_of_one_name_are_refused(marks: list[Path], tmp_path: Path) -> None:
    other = tmp_path / "other" / marks[0].name
    with pytest.raises(EngraveError, match="same folder"):
        build_all([*marks, other], task(tmp_path), 2, print)
    with pytest.raises(EngraveError, match="same folder"):
        build_all([*marks, marks[0]], task(tmp_path), 2, print)


def test_the_command_says_which_and_fails(marks: list[Path], tmp_path: Path) -> None:
    marks[3].write_text("score: [\n")
    command = [sys.executable, "-m", "engrave", "build", *map(str, marks), "--jobs", "2"]
    ran = subprocess.run(
        [*command, "--no-cache", "--out", str(tmp_path / "out")], capture_output=True, text=True
    )
    assert ran.returncode == 2
    assert ran.stdout == "3 of 4 booklets built\n"
    assert f"{marks[3]}:" in ran.stderr
    assert ran.stderr.endswith(f"not built: {marks[3]}\n")
    assert "\x1b" not in ran.stderr
