"""Single files that say that they are ours, so that nothing else is ever written over.

Enters: a path, the text of a drawing. Leaves: the file, whole or not at all. A drawing of ours ends
in a comment with the digest of all before it: what has been changed since is somebody's work.
"""

import os
import re
import tempfile
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from engrave.errors import EngraveError

LARGEST = 20_000_000
"""Bytes; no drawing of ours comes near."""

_HALF = ".engrave-half"
_SIGNATURE = re.compile(rb"<!-- made by engrave, ([0-9a-f]{64}) -->\n")


def write_drawing(path: Path, svg: bytes) -> None:
    """Write a drawing; raises ``EngraveError`` where another file stands, or one changed since."""
    try:
        is_free = not (path.exists() or path.is_symlink())
        is_free = is_free or _is_signed(path)
    except OSError as error:
        raise EngraveError(f"{path} cannot be written: {error.strerror}") from None
    if not is_free:
        raise EngraveError(
            f"{path} is there already, and is no drawing as this command left it",
            hint="name another file, or move it away",
        )
    digest = sha256(svg).hexdigest()
    replace_file(path, svg + f"<!-- made by engrave, {digest} -->\n".encode())


def _is_signed(path: Path) -> bool:
    if not path.is_file() or path.stat().st_size > LARGEST:
        return False
    content = path.read_bytes()
    signatures = [*_SIGNATURE.finditer(content)]
    if not signatures or signatures[-1].end() != len(content):
        return False
    return sha256(content[: signatures[-1].start()]).hexdigest().encode() == signatures[-1][1]


def replace_file(path: Path, content: bytes, is_alone: bool = False) -> None:
    """Put ``content`` at ``path``, whole or not at all; raises ``EngraveError``, all as it was.

    ``is_alone``: nobody else writes there now, so that what killed ones left is cleared away.
    """
    path = path.resolve()  # where it leads, if it is a link: that stays one
    beside = ""
    try:
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        if is_alone:
            _clear_left_behind(path)
        handle, beside = tempfile.mkstemp(_HALF, f".{path.name}.", path.parent)
        with open(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, mode)
        os.replace(beside, path)
    except OSError as error:
        raise EngraveError(
            f"{path} cannot be written: {error.strerror or error}", hint="it is as it was"
        ) from None
    finally:
        with suppress(OSError):
            os.unlink(beside)


def _clear_left_behind(path: Path) -> None:
    for each in path.parent.iterdir():
        if each.name.startswith(f".{path.name}.") and each.name.endswith(_HALF):
            each.unlink()


def _umask() -> int:
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
