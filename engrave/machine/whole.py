"""A file of the tool's own is written whole or not at all, and nobody waits for the disk.

Enters: a path and what is to stand there. Leaves: the file. For what nobody looks at and the next
run makes anew, if a power cut takes it; people's files are the affair of ``saving``.
"""

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def put_whole(path: Path, content: bytes, mode: int | None = None) -> None:
    """Put ``content`` in the place of what stands at ``path``; raises ``OSError``, all as it was.

    ``mode``: its permissions; else they are the owner's alone.
    """
    handle, beside = tempfile.mkstemp(dir=path.parent)
    try:
        with open(handle, "wb") as file:
            file.write(content)
        if mode is not None:
            os.chmod(beside, mode)
        os.replace(beside, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(beside)
        raise
