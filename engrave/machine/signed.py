"""Drawings that say that they are ours, so that nothing else is ever written over.

Enters: a path, the text of a drawing. Leaves: the file, whole or not at all. A drawing of ours ends
in a comment with the digest of all before it: what has been changed since is somebody's work.
"""

import re
from hashlib import sha256
from pathlib import Path

from engrave.errors import EngraveError
from engrave.machine.saving import cannot_save, replace

LARGEST = 20_000_000
"""Bytes; no drawing of ours comes near."""

_SIGNATURE = re.compile(rb"<!-- made by engrave, ([0-9a-f]{64}) -->\n")


def write_drawing(path: Path, svg: bytes) -> None:
    """Write a drawing; raises ``EngraveError`` where another file stands, or one changed since."""
    try:
        is_free = not (path.exists() or path.is_symlink()) or _is_signed(path)
    except OSError as error:
        raise cannot_save(path, error) from None
    if not is_free:
        raise EngraveError(
            f"{path} is there already, and is no drawing as this command left it",
            hint="name another file, or move it away",
        )
    digest = sha256(svg).hexdigest()
    replace(path, svg + f"<!-- made by engrave, {digest} -->\n".encode())


def _is_signed(path: Path) -> bool:
    if not path.is_file() or path.stat().st_size > LARGEST:
        return False
    content = path.read_bytes()
    signatures = [*_SIGNATURE.finditer(content)]
    if not signatures or signatures[-1].end() != len(content):
        return False
    return sha256(content[: signatures[-1].start()]).hexdigest().encode() == signatures[-1][1]
