"""Pango's declarations in C, as cffi keeps them once they are read.

Enters: declarations. Leaves: what cffi makes of them. WeasyPrint hands them to cffi as C, which
is parsed at every start, and so is every name of a type that it uses. cffi can write down what it
has read, in Python ("out-of-line ABI mode" in its manual). That is kept in ``__pycache__`` beside
this module, as Python keeps what it compiles: whoever may write there may write this module too.
Where it cannot be kept or read, the C is parsed.
"""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout, suppress
from hashlib import sha256
from io import StringIO
from pathlib import Path
from typing import Any

KEPT = Path(__file__).parent / "__pycache__"


@contextmanager
def kept_declarations() -> Iterator[None]:
    """Libraries imported meanwhile that declare C functions find their declarations read."""
    import cffi

    parser = cffi.FFI
    cffi.FFI = _Declared
    try:
        yield
    finally:
        cffi.FFI = parser


class _Declared:
    """Stands for cffi's ``FFI``: gets its attributes from what was kept."""

    def cdef(self, declarations: str) -> None:
        """Declare functions and types, all that this one will know."""
        from cffi.api import FFI

        try:
            made = _read(declarations)
        except Exception:  # whatever is wrong with the file, or with cffi's writing
            made = FFI()
            made.cdef(declarations)
        for name in dir(made):
            if not name.startswith("_"):
                setattr(self, name, getattr(made, name))


def _read(declarations: str) -> Any:
    """An ``FFI`` of what was read of ``declarations`` before, else now."""
    import cffi

    digest = sha256(f"{cffi.__version__} {declarations}".encode()).hexdigest()
    path = KEPT / f"{digest[:32]}.declarations"
    if not path.exists():
        _keep(declarations, path)
    found: dict[str, Any] = {}
    exec(compile(path.read_bytes(), path, "exec"), found)
    if not hasattr(found["ffi"], "dlopen"):
        raise TypeError(f"{path} holds something else")
    return found["ffi"]


def _keep(declarations: str, path: Path) -> None:
    """Write what cffi reads in ``declarations`` to ``path``, whole or not at all."""
    from cffi.api import FFI

    made = FFI()
    made.cdef(declarations)
    made.set_source("declarations", None)
    path.parent.mkdir(exist_ok=True)
    handle, beside = tempfile.mkstemp(dir=path.parent)
    os.close(handle)
    try:
        with redirect_stdout(StringIO()):  # it says so
            made.emit_python_code(beside)
        os.replace(beside, path)
    finally:
        with suppress(OSError):
            os.unlink(beside)
