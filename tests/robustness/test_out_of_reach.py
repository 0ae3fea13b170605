"""Folders that may not be searched: told at their path, and never needed where they need not be."""

import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.pipeline.demo import NAME, files_of, lay_out
from tests.robustness.telling import wrongly_told
from tests.robustness.without_rights import begin, can_be_searched, run

MARKS, SCORE, LOG = f"closed/{NAME}.yaml", f"closed/{NAME}.musicxml", "closed/nell.log.yaml"
COMMANDS = (
    ("build", MARKS),
    ("build", MARKS, "closed/other.yaml"),
    ("build", f"open/{NAME}.yaml", "--out", "closed/out"),
    ("check", MARKS),
    ("new", SCORE),
    ("new", f"open/{NAME}.musicxml", "--out", "closed/new.yaml"),
    ("survey", SCORE),
    ("survey", f"open/{NAME}.musicxml", "--picture", "closed/terrain.svg"),
    ("log", MARKS),
    ("log", f"open/{NAME}.yaml", LOG),
    ("desk", MARKS, "--no-browser"),
    ("desk", SCORE, "--no-browser"),
    ("demo", "closed/demo"),
    ("watch", MARKS, "--no-browser"),
)


@pytest.fixture(params=[0o600, 0o000], ids=oct)
def folder(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Path]:
    """With a folder ``open``, and one ``closed`` that may be listed or not, and not searched."""
    lay_out(tmp_path / "open")
    lay_out(tmp_path / "closed")
    (tmp_path / "closed").chmod(request.param)
    assert not can_be_searched(tmp_path / "closed")
    yield tmp_path
    (tmp_path / "closed").chmod(0o700)


def test_every_command_says_what_it_cannot_reach(folder: Path) -> None:
    environment = {"XDG_CACHE_HOME": str(folder / "cache")}
    for command, (code, told) in zip(COMMANDS, run(COMMANDS, folder, environment), strict=True):
        assert code == 2, (command, told)
        assert "closed" in told, command
        assert "Permission denied" in told, command
        lines = [line for line in told.splitlines() if not line.startswith("not built: ")]
        assert wrongly_told(code, "\n".join(lines)) == "", command
    (folder / "closed").chmod(0o700)
    assert files_of(folder / "closed") == files_of(folder / "open")


@pytest.mark.parametrize("mode", [0o600, 0o000], ids=oct)
def test_no_home_no_cache_and_no_temporary_folder_are_needed(tmp_path: Path, mode: int) -> None:
    marks = lay_out(tmp_path / "piece")
    closed = tmp_path / "closed"
    (closed / "below").mkdir(parents=True)
    closed.chmod(mode)
    try:
        assert not can_be_searched(closed)
        ((code, told),) = run(
            [["build", str(marks), "--out", "out"]],
            tmp_path,
            {"HOME": str(closed), "XDG_CACHE_HOME": str(closed / "below"), "TMPDIR": str(closed)},
        )
    finally:
        closed.chmod(0o700)
    assert (code, told) == (0, "")
    assert (tmp_path / "out" / NAME / f"{NAME}-student.pdf").is_file()
    assert files_of(closed) == {}


@pytest.mark.parametrize("mode", [0o600, 0o000], ids=oct)
def test_watch_goes_on_where_its_folder_is_closed_meanwhile(tmp_path: Path, mode: int) -> None:
    marks = lay_out(tmp_path / "closed")
    process = begin(["-m", "engrave", "watch", str(marks), "--no-browser", "--no-cache"], tmp_path)
    assert process.stdout
    try:
        assert process.stdout.readline().startswith("http://127.0.0.1:")
        for each in (mode, 0o700):
            marks.parent.chmod(each)
            with pytest.raises(subprocess.TimeoutExpired):
                process.wait(1)
    finally:
        marks.parent.chmod(0o700)
        process.terminate()
        assert process.communicate()[1] == ""
