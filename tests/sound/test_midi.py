"""MIDI files of the demo's drills, read back by readers that did not write them."""

import json
import re
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.music.tempo import SCALE, Goal, ladder
from engrave.music.units import fraction_text
from engrave.sound import climb, midi
from tests.checks.heard import Promise, heard_findings, read_heard
from tests.drills.builders import even, sheet
from tests.pipeline.demo import NAME, edit, files_of, lay_out


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("heard")
    assert main(["build", str(lay_out(root)), "--out", str(root / "out"), "--sound"]) == 0
    return root / "out" / NAME


def test_every_drill_of_the_demo_is_heard_as_it_is_written(demo: Path) -> None:
    manifest = json.loads((demo / "manifest.json").read_text("utf-8"))
    assert len(manifest["drills"]) > 20
    for drill in manifest["drills"]:
        marks = [mark for mark in drill["ladder"] if mark > (drill["reached"] or 0)]
        path = demo / drill["files"]["midi"]
        promise = Promise(Fraction(drill["beat_unit"]), marks)
        music = demo / drill["files"]["musicxml"]
        assert list(heard_findings(path.read_bytes(), music, promise, drill)) == []
    for passage in manifest["passages"]:
        assert (demo / passage["files"]["midi"]).read_bytes()[:4] == b"MThd"


def test_sound_may_be_asked_for_in_the_marks_and_has_the_same_bytes(
    demo: Path, tmp_path: Path
) -> None:
    marks = lay_out(tmp_path)
    edit(marks, "teacher: Tobias Quern", "teacher: Tobias Quern\nsound: yes")
    assert main(["build", str(marks), "--out", str(tmp_path / "out")]) == 0
    heard = {name: data for name, data in files_of(demo).items() if name.endswith(".mid")}
    again = files_of(tmp_path / "out" / NAME)
    assert heard
    assert heard == {name: data for name, data in again.items() if name.endswith(".mid")}


@pytest.mark.parametrize(
    ("mark", "written"), [(60, "0f4240"), (100, "0927c0"), (120, "07a120")], ids=str
)
def test_tempos_are_those_of_the_standard(mark: int, written: str) -> None:
    """Standard MIDI File 1.0, FF 51 03: microseconds a quarter."""
    played = midi(climb(sheet(even("C5 D5", "1")), ladder(_goal(mark)), (mark,)), "x")
    assert bytes.fromhex("ff5103" + written) in played


@pytest.mark.parametrize("unit", ["1/2", "1", "3/2", "2"])
def test_every_mark_of_the_scale_has_its_tempo(unit: str) -> None:
    music = sheet(even("C5 D5 E5 F5", "1"))
    made = ladder(Goal(Fraction(unit), Fraction(SCALE[-1]), Fraction(SCALE[0]), 1))
    assert made.marks == SCALE
    heard = read_heard(midi(climb(music, made, SCALE, times=1), "x"))
    expected = [round(60_000_000 / (mark * Fraction(unit))) for mark in SCALE]
    assert [tempo for _, tempo in heard.tempos] == expected


def _goal(mark: int) -> Goal:
    return Goal(Fraction(1), Fraction(mark), Fraction(mark))


Play = Callable[[str], bytes]


@pytest.mark.parametrize("pickup", ["0", "1/4", "1", "3/2"])
def test_a_full_bar_counts_in_and_what_a_pickup_lacks(pickup: str) -> None:
    short = Fraction(pickup)
    music = sheet(even("C5 " * 9, fraction_text(short or Fraction(1))), pickup=short)
    heard = read_heard(midi(climb(music, ladder(_goal(96)), (96,)), "x"))
    first = min(tick for tick, _ in heard.strikes["right hand"])
    assert Fraction(first, heard.ticks) == 2 + (2 - short if short else 0)
    clicks = [tick for tick, _ in heard.strikes["metronome"]]
    assert {b - a for a, b in pairwise(clicks)} == {heard.ticks}


def test_between_takes_stands_one_bar() -> None:
    music = sheet(even("C5 D5 E5 F5", "1"))
    heard = read_heard(midi(climb(music, ladder(_goal(96)), (96,)), "x"))
    ends = [Fraction(tick, heard.ticks) for tick, key in heard.strikes["right hand"] if key == 77]
    begins = [Fraction(tick, heard.ticks) for tick, key in heard.strikes["right hand"] if key == 72]
    assert [b - (a + 1) for a, b in zip(ends, begins[1:], strict=False)] == [2, 2]
    keys = [key for _, key in heard.strikes["metronome"]]
    assert keys == [76, 77] * 9


def test_a_build_that_makes_no_sound_says_that_the_old_one_went(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks = lay_out(tmp_path)
    marks.write_text(marks.read_text("utf-8").partition("  # 2. ")[0], "utf-8")
    command = ["build", str(marks), "--out", str(tmp_path / "out"), "--edition", "screen"]
    assert main([*command, "--sound"]) == 0
    assert "makes no sound" not in capsys.readouterr().err
    assert main(command) == 0
    said = capsys.readouterr()
    assert re.search(
        r"\d+ sound files of an earlier build taken away: this one makes no sound", said.err
    )
    assert "no longer made" not in said.out
    assert not list((tmp_path / "out").rglob("*.mid"))
