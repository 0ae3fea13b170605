"""The methods of data classes, compiled once and not at every start.

Enters: nothing. Leaves: ``dataclasses`` as it was, only faster. It writes every method of a class
as text and has Python compile it whenever the module of the class is loaded: of a build that is a
twentieth, of a command that asks little more. What is compiled is kept in ``__pycache__`` beside
this module, as Python keeps modules: whoever may write there may write this module too. Where it
cannot be kept or read, it is compiled.

``dataclasses`` (Python 3.11 to 3.13) calls ``exec``, which is looked for among its own names before
the built-in ones: there ours stands. ``tests/test_workarounds.py`` fails with a Python that does
not compile a class anew; this module can then go, and its two callers say ``keep_methods`` no more.
"""

import atexit
import dataclasses
import marshal
import os
import sys
from contextlib import suppress
from hashlib import blake2b
from importlib.util import MAGIC_NUMBER
from pathlib import Path
from types import CodeType
from typing import Any

KEPT = Path(__file__).parent / "__pycache__" / f"methods.{sys.implementation.cache_tag}"

_MOST = 10_000
"""Texts that are kept; beyond it are those of classes that have long been written otherwise."""
_DIGEST_BYTES = 16


def keep_methods() -> None:
    """From now on, what ``dataclasses`` executes is looked for among what was compiled before."""
    if hasattr(dataclasses, "exec"):
        return
    methods = Methods(KEPT)
    vars(dataclasses)["exec"] = methods.execute  # found before the built-in one
    if not sys.dont_write_bytecode:
        atexit.register(methods.keep)


class Methods:
    """Texts that were compiled, by their digest, in the file at ``path``."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._known = _read(path)
        self._new: dict[bytes, bytes] = {}

    def execute(self, text: str, *spaces: dict[str, Any]) -> None:
        """What the built-in ``exec`` does."""
        digest = _digest(text.encode())
        if known := self._known.get(digest):
            code: CodeType = marshal.loads(known)
        else:
            code = compile(text, "<string>", "exec")
            self._new[digest] = marshal.dumps(code)
        exec(code, *spaces)

    def keep(self) -> None:
        """Write what is new, whole or not at all."""
        if not self._new:
            return
        known = self._known if len(self._known) + len(self._new) <= _MOST else {}
        from engrave.machine.whole import put_whole  # seldom, and at the end

        body = marshal.dumps(known | self._new)
        with suppress(OSError):
            mode = os.stat(__file__).st_mode & 0o7777
            put_whole(self._path, MAGIC_NUMBER + _digest(body) + body, mode)


def _read(path: Path) -> dict[bytes, bytes]:
    """What is kept at ``path``; nothing if that is not whole, or another Python's."""
    with suppress(OSError):
        content = path.read_bytes()
        head = len(MAGIC_NUMBER) + _DIGEST_BYTES
        if content[:head] == MAGIC_NUMBER + _digest(content[head:]):
            kept: dict[bytes, bytes] = marshal.loads(content[head:])
            return kept
    return {}


def _digest(content: bytes) -> bytes:
    return blake2b(content, digest_size=_DIGEST_BYTES).digest()
