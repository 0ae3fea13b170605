"""People's files, saved whole or not at all.

Enters: a path and its new bytes. Leaves: the file, on the disk, and nothing beside it. It keeps its
permissions, and a link leads to the file that is saved. ``save`` never writes over what somebody
else wrote meanwhile; ``replace`` is for files whose writers take turns, or that can be made anew.
Knows nothing of what they hold.
"""

import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from engrave.errors import EngraveError, Source

_HALF = ".engrave-half"
_FORGOTTEN_SECONDS = 60
"""A save takes a moment: a half older than this was left by one that was killed."""


class Changed(EngraveError):
    """The file does not hold what was believed to stand in it."""


def save(path: Path, content: bytes, believed: bytes | None) -> None:
    """Put ``content`` in the place of ``believed`` (None: where no file is yet), in one step.

    Raises ``Changed`` where something else stands there, and ``EngraveError`` where the disk or the
    folder refuses.
    """
    to = path.resolve()
    _refuse_changed(path, believed)
    with _beside(path, content) as beside:
        _refuse_changed(path, believed)
        if believed is not None:
            beside.replace(to)
            return
        try:
            _put_where_none_is(beside, to)
        except FileExistsError:
            raise _changed(path) from None


def replace(path: Path, content: bytes, is_alone: bool = False) -> None:
    """Put ``content`` at ``path``, whatever stands there; raises ``EngraveError``, all as it was.

    ``is_alone``: nobody else writes there now, so that what killed ones left is cleared away.
    """
    with _beside(path, content, is_alone) as beside:
        beside.replace(path.resolve())


@contextmanager
def _beside(path: Path, content: bytes, is_alone: bool = False) -> Iterator[Path]:
    """``content`` on the disk beside ``path``, to be put in its place meanwhile."""
    to = path.resolve()
    try:
        mode = to.stat().st_mode & 0o7777 if to.exists() else 0o666 & ~_umask()
        _clear_left_behind(to, is_alone)
        handle, name = tempfile.mkstemp(_HALF, f".{to.name}.", to.parent)
        beside = Path(name)
        try:
            with open(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            beside.chmod(mode)
            yield beside
        finally:
            beside.unlink(missing_ok=True)
    except OSError as error:
        raise cannot_save(path, error) from None


def _clear_left_behind(path: Path, is_alone: bool) -> None:
    """What killed ones left; what is young may be another's that is at work."""
    for each in path.parent.iterdir():
        if each.name.startswith(f".{path.name}.") and each.name.endswith(_HALF):
            with suppress(OSError):
                if is_alone or time.time() - each.stat().st_mtime > _FORGOTTEN_SECONDS:
                    each.unlink()


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _put_where_none_is(beside: Path, path: Path) -> None:
    """A new name for the file, which fails where the name is taken; some systems know no links."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:
        beside.rename(path)


def _refuse_changed(path: Path, believed: bytes | None) -> None:
    try:
        there: bytes | None = path.read_bytes()
    except FileNotFoundError:
        there = None
    except OSError as error:
        raise cannot_save(path, error) from None
    if there != believed:
        raise _changed(path)


def _changed(path: Path) -> Changed:
    hint = "look at what stands there now"
    return Changed("the file was changed by somebody else meanwhile", Source(str(path)), hint)


def cannot_save(path: Path, error: OSError) -> EngraveError:
    """What the system says against it, as a mistake at ``path``."""
    reason = error.strerror or str(error)
    return EngraveError(f"it cannot be saved: {reason}", Source(str(path)), "it is as it was")
