"""Compiled methods of data classes are kept, and are never needed."""

import dataclasses
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from engrave.machine.methods import Methods, keep_methods

TEXT = "def twice(number):\n return number * factor"


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file that knows ``TEXT``."""
    path = tmp_path / "methods"
    path.write_bytes(b"")
    methods = Methods(path)
    assert twice(methods) == 14
    methods.keep()
    return path


@pytest.fixture
def compiled(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The texts that are compiled from here on."""
    texts: list[str] = []

    def noted(text: str, *more: Any) -> Any:
        texts.append(text)
        return compile(text, *more)

    monkeypatch.setattr("engrave.machine.methods.compile", noted, raising=False)
    return texts


def twice(methods: Methods) -> int:
    """What ``TEXT`` says of seven."""
    space: dict[str, Any] = {}
    methods.execute(TEXT, {"factor": 2}, space)
    result: int = space["twice"](7)
    return result


def test_what_was_compiled_once_is_not_compiled_again(file: Path, compiled: list[str]) -> None:
    assert twice(Methods(file)) == 14
    assert compiled == []


def test_what_is_new_is_compiled_and_joins_what_is_known(file: Path, compiled: list[str]) -> None:
    methods = Methods(file)
    methods.execute("x = 1", {}, {})
    methods.keep()
    assert compiled == ["x = 1"]
    again = Methods(file)
    twice(again)
    again.execute("x = 1", {}, {})
    assert compiled == ["x = 1"]


@pytest.mark.parametrize("kept", [-1, 5, 0], ids=["changed", "cut off", "empty"])
def test_a_damaged_file_is_none(file: Path, kept: int, compiled: list[str]) -> None:
    content = file.read_bytes()
    file.write_bytes(content[:kept] + (b"?" if kept < 0 else b""))
    methods = Methods(file)
    assert twice(methods) == 14
    assert compiled == [TEXT]
    methods.keep()
    assert file.read_bytes() == content


def test_a_folder_that_cannot_be_written_costs_time_alone(tmp_path: Path) -> None:
    methods = Methods(tmp_path / "gone" / "methods")
    assert twice(methods) == 14
    methods.keep()
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def as_it_was() -> Iterator[None]:
    """``dataclasses`` is left as it was found."""
    before = vars(dataclasses).get("exec")
    vars(dataclasses).pop("exec", None)
    yield
    vars(dataclasses).pop("exec", None)
    if before:
        vars(dataclasses)["exec"] = before


@pytest.mark.usefixtures("as_it_was")
def test_data_classes_ask_for_theirs(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Python 3.11 to 3.13 execute what they write under the built-in name."""
    monkeypatch.setattr("engrave.machine.methods.KEPT", tmp_path / "methods")
    monkeypatch.setattr("sys.dont_write_bytecode", True)
    keep_methods()
    asked: list[str] = []
    execute = vars(dataclasses)["exec"]

    def noted(text: str, *spaces: dict[str, Any]) -> None:
        asked.append(text)
        execute(text, *spaces)

    vars(dataclasses)["exec"] = noted

    @dataclasses.dataclass(frozen=True, slots=True)
    class Made:
        number: int

    assert Made(3) == Made(3)
    assert repr(Made(3)).endswith("Made(number=3)")
    assert any("__eq__" in text for text in asked)
