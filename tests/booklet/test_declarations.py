"""What cffi has read of C declarations is kept, and is never needed."""

from pathlib import Path
from typing import Any

import pytest

from engrave.booklet import declarations

C = "typedef enum { FIRST = 3, SECOND } order; typedef struct { int a; } pair; int abs(int);"


def declared() -> Any:
    """An ``FFI`` as a library gets it while it is imported."""
    import cffi

    with declarations.kept_declarations():
        ffi = cffi.FFI()
        ffi.cdef(C)
    return ffi


def works(ffi: Any) -> bool:
    """Whether functions, constants, structures and strings are those of the declarations."""
    library = ffi.dlopen(None)
    pair = ffi.new("pair *", {"a": 7})
    text = ffi.string(ffi.new("char[]", b"text"))
    return (library.abs(-5), library.SECOND, pair.a, text) == (5, 4, 7, b"text")


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where they are kept meanwhile."""
    monkeypatch.setattr(declarations, "KEPT", tmp_path / "kept")
    return tmp_path / "kept"


def test_they_are_read_once(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cffi.cparser import Parser

    assert works(declared())
    assert len(list(kept.iterdir())) == 1
    monkeypatch.setattr(Parser, "parse", None)
    assert works(declared())


@pytest.mark.parametrize("damage", ["", "ffi = None", "ffi ="])
def test_a_damaged_file_costs_time_alone(kept: Path, damage: str) -> None:
    declared()
    (path,) = kept.iterdir()
    path.write_text(damage)
    assert works(declared())


def test_where_nothing_can_be_kept_they_are_read(kept: Path) -> None:
    kept.write_text("")
    assert works(declared())
