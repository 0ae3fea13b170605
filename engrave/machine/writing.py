"""Output whole or not at all: everything is written beside its place, then exchanged for it.

Enters: a folder's new content. Leaves: the folder, holding that content. Knows nothing of music.
Builds that write into one parent folder do so in turn; what a killed one left there is cleared away
by the next.
"""

import ctypes
import errno
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from engrave.errors import EngraveError

MARKER = "manifest.json"
"""The file by which a folder is known as an earlier build."""

PATIENCE_SECONDS = 60
"""How long a build waits for another to finish writing, which takes a moment."""

_ASIDE = ".old"
_AT_FDCWD, _RENAME_EXCHANGE = -100, 2


def write_folder(folder: Path, files: Mapping[str, bytes], is_ours: Callable[[str], bool]) -> None:
    """Make ``folder`` hold ``files`` (paths below it), all at once.

    What stands in it already is replaced if ``is_ours`` says so of its name, else kept. A folder
    without an earlier build's manifest that is not empty is refused. Raises ``EngraveError``; the
    folder is then as it was.
    """
    folder = folder.resolve()
    with _told(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        with _turn(folder):
            _clear_left_behind(folder)
            _refuse_strange(folder)
            beside = Path(tempfile.mkdtemp(prefix=_prefix(folder), dir=folder.parent))
            try:
                _write(beside, files)
                _keep_foreign(folder, beside, is_ours)
                beside.chmod(0o755)
                _flush(beside)
                _put_in_place(beside, folder)
            finally:
                shutil.rmtree(beside, ignore_errors=True)


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
def _turn(folder: Path) -> Iterator[None]:
    """Alone in the parent folder, as far as builds go; the lock ends with the process."""
    try:
        import fcntl
    except ModuleNotFoundError:  # a system without: builds at once are then the user's affair
        yield
        return
    handle = os.open(folder.parent, os.O_RDONLY)
    try:
        end = time.monotonic() + PATIENCE_SECONDS
        while True:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() > end:
                    raise EngraveError(
                        f"another build has been writing into {folder.parent} for "
                        f"{PATIENCE_SECONDS} seconds",
                        hint="wait for it to end, or end it",
                    ) from None
                time.sleep(0.02)
        yield
    finally:
        os.close(handle)


def _refuse_strange(folder: Path) -> None:
    if folder.exists() and any(folder.iterdir()) and not (folder / MARKER).exists():
        raise EngraveError(
            f"{folder} holds files that no build of this tool made",
            hint="move them away, or choose another folder with --out",
        )


def _prefix(folder: Path) -> str:
    return f".{folder.name}.building-"


def _clear_left_behind(folder: Path) -> None:
    left = [each for each in folder.parent.iterdir() if each.name.startswith(_prefix(folder))]
    for entry in sorted(left, key=lambda entry: entry.suffix != _ASIDE):
        if entry.suffix == _ASIDE and not folder.exists():
            entry.rename(folder)
        else:
            shutil.rmtree(entry, ignore_errors=True)


def _write(beside: Path, files: Mapping[str, bytes]) -> None:
    for parent in {(beside / name).parent for name in files}:
        parent.mkdir(parents=True, exist_ok=True)
    for name, content in files.items():
        (beside / name).write_bytes(content)


def _keep_foreign(folder: Path, beside: Path, is_ours: Callable[[str], bool]) -> None:
    """Take over what others put there: the same files under a second name, not copies."""
    for entry in sorted(folder.iterdir()) if folder.exists() else ():
        if is_ours(entry.name):
            continue
        if entry.is_dir() and not entry.is_symlink():
            shutil.copytree(entry, beside / entry.name, symlinks=True, copy_function=_link)
        else:
            _link(entry, beside / entry.name)


def _link(source: str | Path, target: str | Path) -> None:
    try:
        os.link(source, target, follow_symlinks=False)
    except OSError:
        shutil.copy2(source, target, follow_symlinks=False)


def _flush(beside: Path) -> None:
    """To the disk, so that a power cut after the exchange finds it there; all files in one go."""
    flush = getattr(ctypes.CDLL(None, use_errno=True), "syncfs", None)
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
        aside = beside.with_name(beside.name + _ASIDE)
        folder.rename(aside)
        try:
            beside.rename(folder)
        except OSError:
            aside.rename(folder)
            raise
        shutil.rmtree(aside, ignore_errors=True)


def _exchange(one: Path, other: Path) -> None:
    rename = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if rename is None:
        raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS))
    if rename(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE):
        code = ctypes.get_errno()
        raise OSError(code, os.strerror(code))
