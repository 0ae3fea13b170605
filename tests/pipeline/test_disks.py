"""A full disk and a read-only folder, under every command that writes: told, and nothing half."""

import errno
import os
from collections.abc import Callable
from pathlib import Path
from shutil import rmtree

import pytest

from engrave.cli import main
from engrave.desk.manuscript import Edit, Manuscript
from engrave.errors import EngraveError
from tests.bench.jobs import study
from tests.pipeline.demo import files_of, lay_out
from tests.pipeline.disks import fill, read_only, small_disk
from tests.robustness.log_trial import MARKS

FULL, LOCKED = os.strerror(errno.ENOSPC), os.strerror(errno.EROFS)
SENT = "log: 1\nentries:\n" + "".join(
    f"- {{id: {number:032x}, day: 2027-02-19, piece: 480b2269ea1084c9, "
    f"student: e58c17b6572b718f, passage: run-to-the-lantern, word: {'w' * 250}}}\n"
    for number in range(60)
)


def one_passage(folder: Path) -> Path:
    marks = lay_out(folder)
    marks.write_text(MARKS, "utf-8")
    return marks


def short_study(folder: Path) -> Path:
    marks = study(folder, 4)
    passage = "  - {measures: 1-2, hand: right, drills: [staccato]}\n"
    marks.write_text(marks.read_text("utf-8") + passage, "utf-8")
    return marks


def made(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int, str]:
    code = main([str(word) for word in words])
    return code, capsys.readouterr().err


def test_a_build_on_a_full_or_locked_disk(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks = short_study(tmp_path / "scores")
    with small_disk(tmp_path / "disk") as disk:
        command = ("build", marks, "--out", disk / "out")
        assert made(capsys, *command)[0] == 0
        before = files_of(disk / "out")
        rest = fill(disk)
        code, told = made(capsys, *command, "--sound")
        assert (code, FULL in told) == (2, True)
        with read_only(disk):
            code, told = made(capsys, *command, "--sound")
            assert (code, LOCKED in told) == (2, True)
        assert files_of(disk / "out") == before
        assert [each.name for each in (disk / "out").iterdir()] == [marks.stem]
        rest.unlink()
        assert made(capsys, *command, "--sound")[0] == 0


def test_a_log_on_a_full_or_locked_disk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with small_disk(tmp_path / "disk", "2m") as disk:
        marks = one_passage(disk)
        sent = tmp_path / "sent.log.yaml"
        sent.write_text(SENT, "utf-8")
        before = (disk / "nell.log.yaml").read_bytes()
        there = sorted(each.name for each in disk.iterdir())
        rest = fill(disk)
        code, told = made(capsys, "log", marks, sent)
        assert (code, FULL in told) == (2, True)
        with read_only(disk):
            code, told = made(capsys, "log", marks, sent)
            assert (code, LOCKED in told) == (2, True)
        rest.unlink()
        assert (disk / "nell.log.yaml").read_bytes() == before
        assert sorted(each.name for each in disk.iterdir()) == there
        assert made(capsys, "log", marks, sent)[0] == 0


def test_the_desk_on_a_full_or_locked_disk(tmp_path: Path) -> None:
    with small_disk(tmp_path / "disk", "2m") as disk:
        marks = one_passage(disk)
        before = marks.read_bytes()
        there = sorted(each.name for each in disk.iterdir())
        manuscript = Manuscript(marks)
        change = [Edit(("passages", 0, "remarks"), "w" * 9000)]
        rest = fill(disk)
        with pytest.raises(EngraveError, match=FULL):
            manuscript.change(change, manuscript.version)
        assert manuscript.problem is not None
        with read_only(disk), pytest.raises(EngraveError, match=LOCKED):
            manuscript.change(change, manuscript.version)
        rest.unlink()
        assert marks.read_bytes() == before
        assert sorted(each.name for each in disk.iterdir()) == there
        manuscript.change(change, manuscript.version)
        assert b"w" * 9000 in marks.read_bytes()


OTHERS: dict[str, Callable[[Path], tuple[object, ...]]] = {
    "new": lambda disk: ("new", disk / "study.musicxml"),
    "survey": lambda disk: ("survey", disk / "study.musicxml", "--picture", disk / "terrain.svg"),
}


@pytest.mark.parametrize("name", OTHERS)
def test_other_commands_on_a_full_or_locked_disk(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with small_disk(tmp_path / "disk") as disk:
        study(disk / "made", 8)
        (disk / "made" / "study.musicxml").rename(disk / "study.musicxml")
        rmtree(disk / "made")
        command = OTHERS[name](disk)
        rest = fill(disk)
        code, told = made(capsys, *command)
        assert (code, FULL in told) == (2, True)
        with read_only(disk):
            code, told = made(capsys, *command)
            assert (code, LOCKED in told) == (2, True)
        assert sorted(each.name for each in disk.iterdir()) == ["rest", "study.musicxml"]
        rest.unlink()
        assert made(capsys, *command)[0] == 0


def test_a_full_disk_of_temporary_files_and_of_the_cache_costs_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    marks = short_study(tmp_path / "scores")
    with small_disk(tmp_path / "disk") as disk:
        fill(disk)
        monkeypatch.setenv("TMPDIR", str(disk))
        monkeypatch.setenv("XDG_CACHE_HOME", str(disk / "cache"))
        assert made(capsys, "build", marks, "--out", tmp_path / "out")[0] == 0
        assert [each.name for each in disk.rglob("*") if each.is_file()] == ["rest"]
