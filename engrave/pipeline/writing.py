"""Output whole or not at all: everything is written beside its place, then exchanged for it.

Enters: a folder's new content. Leaves: the folder, holding that content. Knows nothing of music.
"""

import ctypes
import errno
import os
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from engrave.errors import EngraveError

MARKER = "manifest.json"
"""The file by which a folder is known as an earlier build."""

_AT_FDCWD, _RENAME_EXCHANGE = -100, 2


def write_folder(folder: Path, files: Mapping[str, bytes], is_ours: Callable[[str], bool]) -> None:
    """Make ``folder`` hold ``files`` (paths below it), all at once.

    What stands in it already is replaced if ``is_ours`` says so of its name, else kept. A folder
    without an earlier build's manifest that is not empty is refused. Raises ``EngraveError``; the
    folder is then as it was.
    """
    folder = folder.absolute()
    with _told(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        if folder.exists() and any(folder.iterdir()) and not (folder / MARKER).exists():
            raise EngraveError(
                f"{folder} holds files that no build of this tool made",
                hint="move them away, or choose another folder with --out",
            )
        beside = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
        try:
            for name, content in files.items():
                target = beside / name
                target.parent.mkdir(parents=True, exist_ok=True)
                _write(target, content)
            _keep_foreign(folder, beside, is_ours)
            beside.chmod(0o755)
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


def _write(target: Path, content: bytes) -> None:
    with target.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _keep_foreign(folder: Path, beside: Path, is_ours: Callable[[str], bool]) -> None:
    for entry in sorted(folder.iterdir()) if folder.exists() else ():
        if is_ours(entry.name):
            continue
        if entry.is_dir():
            shutil.copytree(entry, beside / entry.name, symlinks=True)
        else:
            shutil.copy2(entry, beside / entry.name, follow_symlinks=False)


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
        aside = beside.with_name(f"{beside.name}.old")
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
