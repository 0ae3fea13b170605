"""Output whole or not at all: everything is written beside its place, then exchanged for it.

Enters: a folder, and who decides what becomes of it. Leaves: the folder, so changed. Knows nothing
of music, nor whose a file is. Builds that write into one parent folder do so in turn; what a killed
one left there is cleared away by the next.
"""

import ctypes
import errno
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from engrave.errors import EngraveError

MARKER = "manifest.json"
"""The file by which a folder is known as an earlier build."""

PATIENCE_SECONDS = 60
"""How long a build waits for another to finish writing, which takes a moment."""

_NEW, _OLD = "new", "old"
_SIGN = "engrave-workplace"
"""The file by which a folder beside the output is known as a workplace of ours."""
_AT_FDCWD, _RENAME_EXCHANGE = -100, 2


@dataclass(frozen=True, slots=True)
class FolderChange:
    """What becomes of a folder; paths are below it, with slashes.

    ``files`` are written; what stands at the keys of ``moved`` goes to their values, or, where that
    is None, goes away. All else stays. No two things may come to stand in one place.
    """

    files: Mapping[str, bytes]
    moved: Mapping[str, str | None] = field(default_factory=dict)


def write_folder(folder: Path, decide: Callable[[Path], FolderChange]) -> None:
    """Change ``folder`` all at once, as ``decide`` says once nobody else writes there.

    Raises ``EngraveError``, also what ``decide`` raises; the folder is then as it was.
    """
    folder = folder.resolve()
    with _told(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with turn(folder):
            _clear_left_behind(folder)
            change = decide(folder)
            workplace = Path(tempfile.mkdtemp(prefix=_prefix(folder), dir=folder.parent))
            try:
                (workplace / _SIGN).touch()
                beside = workplace / _NEW
                beside.mkdir()
                _keep(folder, beside, change.moved)
                _write(beside, change.files)
                beside.chmod(0o755)
                _flush(beside)
                _put_in_place(beside, folder)
            finally:
                _clear(workplace, folder)


@contextmanager
def _told(folder: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise EngraveError(
            f"cannot write {folder}: {error.strerror or error}",
            hint="the last good output is as it was",
        ) from error


@contextmanager
def turn(place: Path) -> Iterator[None]:
    """Alone in the folder that holds ``place``, as far as this tool goes.

    The lock ends with the process.
    """
    try:
        import fcntl
    except ModuleNotFoundError:  # a system without: builds at once are then the user's affair
        yield
        return
    handle = os.open(place.parent, os.O_RDONLY)
    try:
        end = time.monotonic() + PATIENCE_SECONDS
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() > end:
                    raise EngraveError(
                        f"another build has been writing into {place.parent} for "
                        f"{PATIENCE_SECONDS} seconds",
                        hint="wait for it to end, or end it",
                    ) from None
                time.sleep(0.02)
        yield
    finally:
        os.close(handle)


def _prefix(folder: Path) -> str:
    return f".{folder.name}.building-"


def _clear_left_behind(folder: Path) -> None:
    """Clear away what killed builds left; one may have been killed with the old folder aside."""
    for entry in sorted(folder.parent.iterdir()):
        if not entry.name.startswith(_prefix(folder)) or entry.is_symlink() or not entry.is_dir():
            continue
        if not (entry / _SIGN).is_file():
            with suppress(OSError):  # killed before it was signed, if it is empty; else not ours
                entry.rmdir()
            continue
        _clear(entry, folder)


def _clear(workplace: Path, folder: Path) -> None:
    """Take a workplace away, its sign last; an old folder that stands aside goes back first."""
    if (workplace / _OLD).is_dir() and not folder.exists():
        (workplace / _OLD).rename(folder)
    for part in (_NEW, _OLD, ""):
        shutil.rmtree(workplace / part, ignore_errors=True)


def _write(beside: Path, files: Mapping[str, bytes]) -> None:
    for parent in {(beside / name).parent for name in files}:
        parent.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        with (beside / name).open("xb") as file:
            file.write(content)


def _keep(folder: Path, beside: Path, moved: Mapping[str, str | None]) -> None:
    """Take over what stays: the same files under a second name, not copies."""
    if folder.exists():
        for entry in sorted(folder.iterdir()):
            _take_over(entry, entry.name, beside, moved)


def _take_over(entry: Path, name: str, beside: Path, moved: Mapping[str, str | None]) -> bool:
    """Take over what stays of ``entry``, known as ``name``; returns whether all of it does."""
    if name in moved:
        to = moved[name]
        if to is not None:
            (beside / to).parent.mkdir(parents=True, exist_ok=True)
            _take_over(entry, to, beside, {})
        return False
    if entry.is_symlink() or not entry.is_dir():
        (beside / name).parent.mkdir(parents=True, exist_ok=True)
        _link(entry, beside / name)
        return True
    children = sorted(entry.iterdir())
    stays = [_take_over(child, f"{name}/{child.name}", beside, moved) for child in children]
    if all(stays):  # also an empty one; else it stands there if anything in it does
        (beside / name).mkdir(parents=True, exist_ok=True)
    if (beside / name).is_dir():
        shutil.copystat(entry, beside / name)
    return all(stays)


def _link(source: str | Path, target: str | Path) -> None:
    try:
        os.link(source, target, follow_symlinks=False)
    except OSError:
        shutil.copy2(source, target, follow_symlinks=False)


def _of_the_system(name: str) -> Any:
    """A function of the C library; None on systems that have no such library, or not this one."""
    try:
        return getattr(ctypes.CDLL(None, use_errno=True), name, None)
    except (TypeError, OSError):
        return None


def _flush(beside: Path) -> None:
    """To the disk, so that a power cut after the exchange finds it there; all files in one go."""
    flush = _of_the_system("syncfs")
    if flush is None:
        for path in beside.rglob("*"):
            if path.is_file():
                with path.open("rb") as file:
                    os.fsync(file.fileno())
        return
    handle = os.open(beside, os.O_RDONLY)
    try:
        if flush(handle):
            code = ctypes.get_errno()
            raise OSError(code, os.strerror(code))
    finally:
        os.close(handle)


def _put_in_place(beside: Path, folder: Path) -> None:
    """Exchange the two folders in one step, so that even a killed build leaves one of them whole.

    Where the system cannot exchange, the old folder steps aside for a moment.
    """
    if not folder.exists():
        beside.rename(folder)
        return
    try:
        _exchange(beside, folder)
    except OSError as error:
        if error.errno not in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
            raise
        aside = beside.with_name(_OLD)
        folder.rename(aside)
        try:
            beside.rename(folder)
        except OSError:
            aside.rename(folder)
            raise


def _exchange(one: Path, other: Path) -> None:
    rename = _of_the_system("renameat2")
    if rename is None:
        raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS))
    if rename(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE):
        code = ctypes.get_errno()
        raise OSError(code, os.strerror(code))
