"""``engrave log``: taken in whole or not at all, whatever comes in whatever order."""

import os
import random
import re
import subprocess
import sys
import time
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

import pytest

from engrave.cli import main
from engrave.log import Entry, Keys, Practised, entry_line, keys_of
from tests.log.entries import id_of
from tests.pipeline.demo import edit, lay_out

KEYS = keys_of("Lantern Rondo", "Orla Windhaber", None, "Nell Averdine")
HEAD = "log: 1\nentries:\n"


def marks_with_log(folder: Path) -> Path:
    marks = lay_out(folder)
    edit(marks, "log: nell.log.yaml   ", "log: log.yaml #")
    return marks


def entries(first: int, count: int, keys: Keys = KEYS) -> list[Entry]:
    return [
        Entry(
            id_of(number), date(2027, 1, 1) + timedelta(days=number % 40), keys.piece, keys.student,
            Practised("last-glimmer", False, 40 + number % 3, Fraction(1), 3),
        )
        for number in range(first, first + count)
    ]  # fmt: skip


def write(path: Path, found: list[Entry]) -> Path:
    path.write_text(HEAD + "".join(f"{entry_line(entry)}\n" for entry in found), "utf-8")
    return path


def test_any_order_and_any_number_of_times(tmp_path: Path) -> None:
    marks = marks_with_log(tmp_path)
    one = write(tmp_path / "one.yaml", entries(0, 30))
    two = write(tmp_path / "two.yaml", entries(20, 30))
    log = tmp_path / "log.yaml"
    found = set()
    for files in ([one, two], [two, one], [one, two, one], [two]):
        log.unlink(missing_ok=True)
        assert main(["log", str(marks), *map(str, files)]) == 0
        assert main(["log", str(marks), str(one), str(log)]) == 0
        found.add(log.read_bytes())
    assert len(found) == 1


def test_a_hundred_mistakes_are_told_and_the_rest_taken_when_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    lines = [entry_line(entry) for entry in entries(0, 150)]
    for number in range(100):
        lines.insert(number, lines[number].replace("last-glimmer", f"no way {number}/"))
    bad = tmp_path / "bad.yaml"
    bad.write_text(HEAD + "\n".join(lines) + "\n", "utf-8")
    assert main(["log", str(marks), str(bad)]) == 2
    told = capsys.readouterr().err
    assert sum(line.startswith(f"{bad}:") for line in told.splitlines()) == 100
    assert "--rest takes in the 150 entries" in told
    assert not log.exists()
    assert main(["log", str(marks), str(bad), "--rest"]) == 0
    assert capsys.readouterr().out == f"{log}: 150 entries taken in, 0 known already\n"
    log.write_text(log.read_text("utf-8") + lines[0] + "\n", "utf-8")
    before = log.read_bytes()
    assert main(["log", str(marks), str(bad), "--rest"]) == 2
    assert log.read_bytes() == before


def test_another_students_entries_come_in_only_when_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    theirs = write(tmp_path / "t.yaml", entries(0, 3, Keys(KEYS.piece, "0" * 16)))
    assert main(["log", str(marks), str(theirs)]) == 2
    assert "3 entries of another piece or another student" in capsys.readouterr().err
    assert not log.exists()
    assert main(["log", str(marks), str(theirs), "--others"]) == 0
    assert "4 entries taken in" in capsys.readouterr().out
    assert main(["log", str(marks), str(theirs)]) == 0
    assert main(["log", str(marks)]) == 0
    assert "3 days" in capsys.readouterr().out


def test_a_name_written_otherwise_keeps_its_log(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    assert main(["log", str(marks), str(write(tmp_path / "one.yaml", entries(0, 3)))]) == 0
    edit(marks, "name: Nell Averdine", "name: Nell Averdine-Holm")
    capsys.readouterr()
    assert main(["log", str(marks)]) == 0
    told = capsys.readouterr()
    assert "3 entries of another piece or student, left out" in told.err
    assert "4 last-glimmer: measures 91–92.1, not yet at 40; not in the log" in told.out
    assert main(["log", str(marks), str(log), "--others"]) == 0
    assert main(["log", str(marks)]) == 0
    told = capsys.readouterr()
    assert "left out" not in told.err
    assert "4 last-glimmer: measures 91–92.1, at 40 of 80; 3 days" in told.out


def test_a_log_of_a_newer_format_is_refused_and_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    one = write(tmp_path / "one.yaml", entries(0, 2))
    log.write_text("log: 2\nentries:\n- [something, new]\n", "utf-8")
    for command in (["log", str(marks), str(one)], ["log", str(marks), "--lesson"],
                    ["check", str(marks)]):  # fmt: skip
        assert main(command) == 2
        assert "is of format 2" in capsys.readouterr().err
    assert log.read_text("utf-8").startswith("log: 2")
    one.write_text("log: 2\n")
    log.unlink()
    assert main(["log", str(marks), str(one), "--rest"]) == 0
    assert not log.exists()


def test_a_lesson_is_noted_once_and_anew_when_its_passages_change(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    for _ in range(2):
        assert main(["log", str(marks), "--lesson"]) == 0
    assert log.read_text("utf-8").count("lesson:") == 1
    edit(marks, "status: learning                   #", "status: done  #")
    for _ in range(2):
        assert main(["log", str(marks), "--lesson"]) == 0
    text = log.read_text("utf-8")
    assert text.count("lesson:") == 2
    assert text.count("withdraws:") == 1
    assert text.count("done: [last-glimmer]") == 1
    capsys.readouterr()
    assert main(["log", str(marks)]) == 0
    assert "4 last-glimmer: measures 91–92.1, done since 2027-02-20" in capsys.readouterr().out
    text = re.sub(r"(?m)^    hand:", "    status: done\n    hand:", marks.read_text("utf-8"))
    marks.write_text(text.replace("    status: done  #", "    #"), "utf-8")
    assert main(["log", str(marks)]) == 0
    assert capsys.readouterr().out.count(", done since ") == 4


def test_a_picture_is_drawn_and_never_over_another_file(tmp_path: Path) -> None:
    marks = marks_with_log(tmp_path)
    picture = tmp_path / "marks.svg"
    for _ in range(2):
        assert main(["log", str(marks), "--picture", str(picture)]) == 0
    assert picture.read_bytes().startswith(b"<svg")
    before = marks.read_bytes()
    assert main(["log", str(marks), "--picture", str(marks)]) == 2
    assert marks.read_bytes() == before


def test_what_is_odd_in_a_log_is_told_at_its_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    beat = Fraction(1)
    whats = [
        (19, Practised("gone", False, 60, beat, 3)),
        (19, Practised("last-glimmer", False, 41, beat, 3)),
        (21, Practised("last-glimmer", False, 60, beat, 3)),
    ]
    write(log, [
        Entry(id_of(number), date(2027, 2, day), KEYS.piece, KEYS.student, what)
        for number, (day, what) in enumerate(whats)
    ])  # fmt: skip
    assert main(["check", str(marks)]) == 0
    told = capsys.readouterr().err
    assert f"{log}:3:1: warning: gone is not in the marks: its entries are kept" in told
    assert f"{log}:4:1: warning: 41 is no mark of last-glimmer" in told
    assert f"{log}:5:1: warning: 1 entry of days after the lesson, 2027-02-20, left out" in told


def test_marks_without_a_log_or_a_lesson_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks = marks_with_log(tmp_path)
    edit(marks, "lesson: 2027-02-20 ", "#")
    assert main(["log", str(marks), "--lesson"]) == 2
    edit(marks, "log: log.yaml", "")
    assert main(["log", str(marks)]) == 2
    said = capsys.readouterr().err
    assert "name no lesson" in said
    assert "name no log" in said


def test_killed_while_taking_in_the_log_is_old_or_new(tmp_path: Path) -> None:
    marks, log = marks_with_log(tmp_path), tmp_path / "log.yaml"
    chance = random.Random(7)
    whole, found = write(tmp_path / "whole.yaml", entries(0, 100)), set()
    more = write(tmp_path / "more.yaml", entries(0, 1500))
    assert main(["log", str(marks), str(whole)]) == 0
    old = log.read_bytes()
    command = [sys.executable, "-m", "engrave", "log", str(marks), str(more)]
    start = time.monotonic()
    assert subprocess.run(command, capture_output=True).returncode == 0
    seconds, new = time.monotonic() - start, log.read_bytes()
    assert old != new
    for share in (0.8, chance.uniform(0.7, 1)):
        log.write_bytes(old)
        taking = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=os.environ)
        try:
            taking.wait(seconds * share)
        except subprocess.TimeoutExpired:
            taking.kill()
            taking.wait()
        found.add(log.read_bytes())
        assert found <= {old, new}
    log.write_bytes(old)
    assert main(["log", str(marks), str(more)]) == 0
    assert log.read_bytes() == new
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith(".")] == []
