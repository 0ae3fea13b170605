"""A file saved whole or not at all, and never over what somebody else wrote meanwhile.

Enters: a path, its new bytes, and the bytes that are believed to stand there. Leaves: the file.
Knows nothing of what it holds.
"""

import os
import tempfile
import time
from contextlib import suppress
from pathlib import Path

from engrave.errors import EngraveError, Source

_HALF = ".saving"
_FORGOTTEN_SECONDS = 60
"""A save takes a moment."""


class Changed(EngraveError):
    """The file does not hold what was believed to stand in it."""


def save(path: Path, content: bytes, believed: bytes | None) -> None:
    """Put ``content`` in the place of ``believed`` (None: where no file is yet), in one step.

    The file keeps its permissions; a link leads to the file that is saved. Raises ``Changed`` where
    something else stands there, and ``EngraveError`` where the disk or the folder refuses.
    """
    path = path.resolve()
    _refuse_changed(path, believed)
    try:
        _clear_left_behind(path)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=_HALF, dir=path.parent)
    except OSError as error:
        raise _cannot(path, error) from None
    beside = Path(name)
    try:
        with open(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(path.stat().st_mode & 0o7777 if believed is not None else 0o644)
        _refuse_changed(path, believed)
        if believed is None:
            _put_where_none_is(beside, path)
        else:
            beside.replace(path)
    except FileExistsError:
        raise _changed(path) from None
    except OSError as error:
        raise _cannot(path, error) from None
    finally:
        beside.unlink(missing_ok=True)


def _clear_left_behind(path: Path) -> None:
    """What killed ones left; what is young may be another's that is at work."""
    for each in path.parent.iterdir():
        if each.name.startswith(f".{path.name}.") and each.name.endswith(_HALF):
            with suppress(OSError):
                if time.time() - each.stat().st_mtime > _FORGOTTEN_SECONDS:
                    each.unlink()


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
        raise _cannot(path, error) from None
    if there != believed:
        raise _changed(path)


def _changed(path: Path) -> Changed:
    hint = "look at what stands there now"
    return Changed("the file was changed by somebody else meanwhile", Source(str(path)), hint)


def _cannot(path: Path, error: OSError) -> EngraveError:
    reason = error.strerror or str(error)
    return EngraveError(f"it cannot be saved: {reason}", Source(str(path)), "it is as it was")
