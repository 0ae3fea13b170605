"""What was made before, kept on disk by what it was made from, so that it need not be made again.

Enters: a key and a way to make its value. Leaves: the value, from disk where it is there whole. A
cache that is gone, damaged, full or not to be written costs time and changes nothing else; what a
file says can make nothing but this program's own frozen values. Knows nothing of music.
"""

import hashlib
import io
import os
import pickle
import sys
import time
import zlib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import is_dataclass
from enum import Enum
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from engrave.machine.whole import put_whole

T = TypeVar("T")

MOST_BYTES = 256 * 2**20
LIBRARIES = (
    *("converter21", "music21", "verovio"),
    *("cssselect2", "font_source_serif_pro", "fonttools", "pydyf", "pyphen", "tinycss2"),
    *("tinyhtml5", "weasyprint"),
)
"""Libraries whose results are kept; another version of one makes everything anew."""

_DIGEST_BYTES = 32
_FORGOTTEN_SECONDS = 3600
"""A file that is still being written after this time belongs to a build that was killed."""
_PLAIN = {("fractions", "Fraction"), ("datetime", "date"), ("collections", "Counter")}


def key_of(kind: str, *parts: object) -> str:
    """The key of a value of that ``kind``, made by this program from ``parts``.

    Parts are told apart by ``repr``, which for frozen dataclasses names every field.
    """
    return _hash(repr((kind, program(), parts)).encode()).hexdigest()


@cache
def program() -> str:
    """What this program is: its files, and the versions of Python and of the libraries."""
    digest = _hash(f"{sys.version_info} {_versions()}".encode())
    package = Path(__file__).resolve().parent.parent
    for root in (package, package.parent / "templates"):  # inside the package once installed
        for folder, inside, names in os.walk(root):
            inside[:] = sorted(name for name in inside if name != "__pycache__")
            for name in sorted(names):
                digest.update(f"\n{name}\n".encode() + Path(folder, name).read_bytes())
    return digest.hexdigest()


def _versions() -> list[str]:
    """Versions by the names of installed folders; asking importlib takes as long as a drill."""
    return sorted(
        entry
        for folder in sys.path
        if os.path.isdir(folder)
        for entry in os.listdir(folder)
        if entry.startswith(LIBRARIES) and entry.endswith((".dist-info", ".egg-info"))
    )


class Cache:
    """Values in the files of ``folder``, at most about ``most_bytes`` of them; None keeps nothing.

    Several builds may share a folder: a file appears whole or not at all, and may go at any time.
    """

    def __init__(self, folder: Path | None, most_bytes: int = MOST_BYTES) -> None:
        self._folder, self._most_bytes = folder, most_bytes
        self._has_grown = False

    def made(
        self, key: str, make: Callable[[], T], is_lasting: Callable[[T], bool] = lambda _: True
    ) -> T:
        """The value kept under ``key``, else what ``make`` returns, kept from now on if lasting."""
        known: T | None = self.found(key)
        if known is None:
            known = make()
            if self._folder is not None and is_lasting(known):
                self._keep(_path(self._folder, key), _packed(known, key))
        return known

    def found(self, key: str) -> Any:
        """The value kept under ``key``; None where there is none that is whole."""
        if self._folder is None:
            return None
        path = _path(self._folder, key)
        try:
            found = _unpacked(path.read_bytes(), key)
        except (OSError, _Damaged):
            return None
        with suppress(OSError):
            os.utime(path)
        return found

    @property
    def is_on(self) -> bool:
        """Whether anything can be kept."""
        return self._folder is not None

    def has(self, key: str) -> bool:
        """Whether something is kept under ``key``, whole or not."""
        return self._folder is not None and os.path.exists(_path(self._folder, key))

    def _keep(self, path: Path, content: bytes) -> None:
        with suppress(OSError):
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            put_whole(path, content)
            self._has_grown = True

    def trim(self) -> None:
        """Forget what was not used for longest where there is too much, and halves left behind."""
        if self._folder is None or not self._has_grown:
            return
        now, kept = time.time(), 0
        for when, size, path in sorted(_entries(self._folder), reverse=True):
            kept += size
            is_half_written = path.name.startswith("tmp") and now - when > _FORGOTTEN_SECONDS
            if kept > self._most_bytes or is_half_written:
                with suppress(OSError):
                    path.unlink()


NO_CACHE = Cache(None)


def user_folder() -> Path | None:
    """Where the user's caches belong (XDG Base Directory Specification 0.8); None: nowhere."""
    base = os.environ.get("XDG_CACHE_HOME", "")
    if os.path.isabs(base):
        return Path(base) / "engrave"
    with suppress(RuntimeError):
        return Path.home() / ".cache" / "engrave"
    return None


def _path(folder: Path, key: str) -> Path:
    return folder / key[:2] / key[2:]


def _entries(folder: Path) -> list[tuple[float, int, Path]]:
    entries = []
    for path in folder.glob("??/*"):
        with suppress(OSError):
            status = path.stat()
            entries.append((status.st_mtime, status.st_size, path))
    return entries


class _Damaged(Exception):
    """A file does not hold what was written under its key."""


def _packed(value: object, key: str) -> bytes:
    body = zlib.compress(pickle.dumps(value, protocol=5), level=1)
    return _hash(body, key).digest() + body


def _unpacked(content: bytes, key: str) -> Any:
    digest, body = content[:_DIGEST_BYTES], content[_DIGEST_BYTES:]
    if digest != _hash(body, key).digest():
        raise _Damaged
    try:
        return _Reader(io.BytesIO(zlib.decompress(body))).load()
    except Exception as error:
        raise _Damaged from error


def _hash(content: bytes, key: str = "") -> "hashlib.blake2b":
    return hashlib.blake2b(content, digest_size=_DIGEST_BYTES, key=key.encode())


class _Reader(pickle.Unpickler):
    """Reads values of this program's own data classes, and calls nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        found = None
        if (module, name) in _PLAIN or module.startswith("engrave."):
            found = super().find_class(module, name)
        if module.startswith("engrave.") and not (
            isinstance(found, type) and (is_dataclass(found) or issubclass(found, Enum))
        ):
            found = None
        if found is None:
            raise pickle.UnpicklingError(f"{module}.{name} is not kept in caches")
        return found
