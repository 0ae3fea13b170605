"""Output whole or not at all: refused, killed, full, and two at once."""

import errno
import multiprocessing
import os
import resource
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from engrave.errors import EngraveError
from engrave.machine import writing
from engrave.machine.writing import MARKER, FolderChange, write_folder
from tests.pipeline.demo import files_of

OLD = {MARKER: b"old", "drills/a.svg": b"old a", "x-student.pdf": b"old pdf"}
NEW = {MARKER: b"new", "drills/b.svg": b"new b", "x-student.pdf": b"new pdf"}


def replacing(files: dict[str, bytes]) -> Callable[[Path], FolderChange]:
    """Drills, the manifest and booklets go for ``files``; all else stays."""

    def decide(folder: Path) -> FolderChange:
        names = files_of(folder) if folder.exists() else {}
        ours = [name for name in names if name.startswith("drills/") or name in OLD]
        return FolderChange(files, dict.fromkeys(ours))

    return decide


def write(folder: Path, files: dict[str, bytes]) -> None:
    write_folder(folder, replacing(files))


def left_beside(folder: Path) -> list[str]:
    return [entry.name for entry in folder.parent.iterdir() if entry != folder]


def test_a_folder_is_written_and_then_replaced(tmp_path: Path) -> None:
    folder = tmp_path / "out" / "x"
    for files in (OLD, NEW):
        write(folder, files)
        assert files_of(folder) == files
        assert left_beside(folder) == []


def test_what_others_put_there_stays(tmp_path: Path) -> None:
    folder = tmp_path / "x"
    write(folder, OLD)
    (folder / "notes.txt").write_text("mine")
    (folder / "recordings" / "may").mkdir(parents=True)
    (folder / "recordings" / "may" / "take.wav").write_bytes(b"sound")
    (folder / "link").symlink_to("notes.txt")
    (folder / "nowhere").symlink_to("/no/such/file")
    kept = (folder / "notes.txt").stat().st_ino
    write(folder, NEW)
    assert (folder / "notes.txt").read_text() == "mine"
    assert (folder / "notes.txt").stat().st_ino == kept
    assert (folder / "recordings/may/take.wav").read_bytes() == b"sound"
    assert os.readlink(folder / "link") == "notes.txt"
    assert os.readlink(folder / "nowhere") == "/no/such/file"
    assert not (folder / "drills/a.svg").exists()


def test_what_is_decided_against_leaves_the_folder_as_it_was(tmp_path: Path) -> None:
    folder = tmp_path / "x"
    write(folder, OLD)

    def refuse(there: Path) -> FolderChange:
        raise EngraveError(f"{there} is somebody else's")

    with pytest.raises(EngraveError, match="somebody else's"):
        write_folder(folder, refuse)
    assert files_of(folder) == OLD
    assert left_beside(folder) == []


def test_what_is_moved_stands_elsewhere_in_the_folder(tmp_path: Path) -> None:
    folder = tmp_path / "x"
    write(folder, OLD)
    moved = dict.fromkeys(OLD) | {"x-student.pdf": "lessons/may/x-student.pdf"}
    write_folder(folder, lambda _: FolderChange(NEW, moved))
    assert files_of(folder) == NEW | {"lessons/may/x-student.pdf": b"old pdf"}


def test_an_output_that_is_a_link_is_written_where_it_leads(tmp_path: Path) -> None:
    real = tmp_path / "elsewhere" / "x"
    real.mkdir(parents=True)
    (tmp_path / "x").symlink_to(real)
    write(tmp_path / "x", NEW)
    assert (tmp_path / "x").is_symlink()
    assert files_of(real) == NEW


def test_what_killed_builds_left_is_cleared_away(tmp_path: Path) -> None:
    """By its sign; a folder that only bears such a name is somebody's."""
    folder = tmp_path / "x"
    write(folder, OLD)
    for name in (".x.building-k1ll3d", ".y.building-other", ".x.building-mine"):
        (tmp_path / name / "new").mkdir(parents=True)
        (tmp_path / name / "new" / "half.svg").write_bytes(b"ha")
        if name != ".x.building-mine":
            (tmp_path / name / writing._SIGN).touch()
    (tmp_path / ".x.building-3mpty").mkdir()
    write(folder, NEW)
    assert sorted(left_beside(folder)) == [".x.building-mine", ".y.building-other"]


def test_without_an_exchange_the_old_folder_steps_aside(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cannot(one: Path, other: Path) -> None:
        raise OSError(errno.ENOSYS, "not here")

    monkeypatch.setattr(writing, "_exchange", cannot)
    folder = tmp_path / "x"
    for files in (OLD, NEW):
        write(folder, files)
        assert files_of(folder) == files
    workplace = tmp_path / ".x.building-k1ll3d"  # killed between the two renames
    workplace.mkdir()
    (workplace / writing._SIGN).touch()
    folder.rename(workplace / "old")
    with pytest.raises(EngraveError):
        write_folder(folder, lambda _: FolderChange({"a" * 300: b""}))
    assert files_of(folder) == NEW
    assert left_beside(folder) == []


@pytest.mark.parametrize("at_once", [True, False])
def test_everything_is_on_the_disk_before_the_exchange(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_once: bool
) -> None:
    """POSIX (IEEE 1003.1): a rename may reach the disk before what was written, unless flushed."""
    done: list[str] = []
    find, sync, put = writing._of_the_system, os.fsync, writing._put_in_place

    def found(name: str) -> Callable[[int], int] | None:
        if name != "syncfs":
            return find(name)  # type: ignore[no-any-return]
        if not at_once:
            return None

        def syncfs(handle: int) -> int:
            there = Path(f"/proc/self/fd/{handle}").resolve()
            done.extend(files_of(there))
            return 0

        return syncfs

    def fsync(handle: int) -> None:
        done.append(Path(f"/proc/self/fd/{handle}").resolve().name)
        sync(handle)

    def exchanged(beside: Path, folder: Path) -> None:
        done.append("exchanged")
        put(beside, folder)

    monkeypatch.setattr(writing, "_of_the_system", found)
    monkeypatch.setattr(os, "fsync", fsync)
    monkeypatch.setattr(writing, "_put_in_place", exchanged)
    write(tmp_path / "x", OLD)
    assert done[-1] == "exchanged"
    assert sorted(Path(each).name for each in done[:-1]) == sorted(Path(each).name for each in OLD)


def test_a_disk_that_cannot_be_flushed_keeps_the_last_output(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "x"
    write(folder, OLD)
    monkeypatch.setattr(writing, "_of_the_system", lambda name: lambda *_: -1)
    with pytest.raises(EngraveError, match="cannot write"):
        write(folder, NEW)
    assert files_of(folder) == OLD
    assert left_beside(folder) == []


def test_a_full_disk_leaves_the_last_output_and_says_so(tmp_path: Path) -> None:
    """A file system of one megabyte, where one may be mounted; else a limit on the file size."""
    folder = tmp_path / "disk" / "x"
    folder.parent.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder.parent)]
    if subprocess.run(mount, capture_output=True).returncode:
        pytest.skip("only root may mount a small disk")
    try:
        write(folder, OLD)
        with pytest.raises(EngraveError) as full:
            write(folder, NEW | {"drills/large.svg": bytes(2 * 2**20)})
        assert os.strerror(errno.ENOSPC) in full.value.message
        assert files_of(folder) == OLD
        assert left_beside(folder) == []
        write(folder, NEW)
        assert files_of(folder) == NEW
    finally:
        subprocess.run(["umount", str(folder.parent)], check=True)


def test_a_file_too_large_for_the_system_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "x"
    write(folder, OLD)
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, before[1]))
    try:
        with pytest.raises(EngraveError, match="cannot write"):
            write(folder, NEW | {"drills/large.svg": bytes(2000)})
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)
    assert files_of(folder) == OLD
    assert left_beside(folder) == []


def _write_often(folder: Path, number: int) -> None:
    for _ in range(20):
        write(folder, {MARKER: b"%d" % number} | {f"drills/{n}": b"%d" % number for n in range(9)})


def test_two_builds_at_once_each_write_whole(tmp_path: Path) -> None:
    folder = tmp_path / "x"
    context = multiprocessing.get_context("spawn")
    writers = [context.Process(target=_write_often, args=(folder, number)) for number in (1, 2, 3)]
    for writer in writers:
        writer.start()
    while any(writer.is_alive() for writer in writers):
        seen = _snapshot(folder)
        assert len(set(seen.values())) <= 1
    assert [writer.exitcode for writer in writers] == [0, 0, 0]
    assert len(files_of(folder)) == 10
    assert left_beside(folder) == []


def _snapshot(folder: Path) -> dict[str, bytes]:
    """The files of one and the same folder, even if another takes its place meanwhile."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except FileNotFoundError:
        return {}
    try:
        return {
            name: Path(f"/proc/self/fd/{handle}/drills/{name}").read_bytes()
            for name in os.listdir(f"/proc/self/fd/{handle}/drills")
        }
    except FileNotFoundError:
        return {}  # it was the old one, and is being cleared away
    finally:
        os.close(handle)


def test_a_build_that_waits_for_another_does_not_wait_for_ever(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fcntl = pytest.importorskip("fcntl")
    handle = os.open(tmp_path, os.O_RDONLY)
    fcntl.flock(handle, fcntl.LOCK_EX)
    monkeypatch.setattr(writing, "PATIENCE_SECONDS", 0.1)
    try:
        with pytest.raises(EngraveError, match="another build"):
            write(tmp_path / "x", NEW)
    finally:
        os.close(handle)
    write(tmp_path / "x", NEW)


_WRITER = """
import sys
from pathlib import Path
from engrave.machine.writing import FolderChange, write_folder
names = ["manifest.json", *(f"drills/{number}" for number in range(200))]
print("ready", flush=True)
while True:
    for text in (b"one", b"two"):
        files = {f"drills/{number}": text * 1000 for number in range(200)}
        change = FolderChange(files | {"manifest.json": text}, dict.fromkeys(names))
        write_folder(Path(sys.argv[1]), lambda folder: change)
"""


@pytest.mark.parametrize("after_ms", [0, 3, 10, 25, 40, 55, 80])
def test_killed_while_writing_the_folder_is_whole(tmp_path: Path, after_ms: int) -> None:
    folder = tmp_path / "x"
    write(folder, {MARKER: b"two", **{f"drills/{n}": b"two" * 1000 for n in range(200)}})
    writer = subprocess.Popen(
        [sys.executable, "-c", _WRITER, str(folder)], stdout=subprocess.PIPE, text=True
    )
    assert writer.stdout is not None
    assert writer.stdout.readline() == "ready\n"
    with pytest.raises(subprocess.TimeoutExpired):
        writer.wait(after_ms / 1000)
    writer.kill()
    writer.communicate()
    found = files_of(folder)
    assert len(found) == 201
    assert len({content[:3] for content in found.values()}) == 1
    write(folder, NEW)
    assert files_of(folder) == NEW
    assert left_beside(folder) == []
