"""Every kind of mistake in a marks file, told where it stands.

The expected errors stand as comments above the line that causes them: ``# error: COLUMN: MESSAGE``
and ``# hint: HINT``.
"""

import re
from pathlib import Path

import pytest

from engrave.errors import Mistakes
from engrave.marks import read_marks

FILES = sorted(Path(__file__).with_name("mistakes").glob("*.yaml"))

Told = tuple[int, int, str, str]


def expected(path: Path) -> list[Told]:
    found: list[Told] = []
    waiting: list[list[str]] = []
    for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
        if error := re.fullmatch(r"# error: (\d+): (.*)", line):
            waiting.append([error[1], error[2]])
        elif hint := re.fullmatch(r"# hint: (.*)", line):
            waiting[-1].append(hint[1])
        else:
            found.extend((number, int(column), text, hint) for column, text, hint in waiting)
            waiting = []
    return found


def test_there_are_mistakes_to_tell() -> None:
    assert len(FILES) > 20
    assert all(expected(path) for path in FILES)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_mistakes_are_told_where_they_stand(path: Path) -> None:
    with pytest.raises(Mistakes) as caught:
        read_marks(path)
    told = caught.value.errors
    assert {error.source.file for error in told if error.source} == {str(path)}
    assert [
        (error.source.line, error.source.column, error.message, error.hint)
        for error in told
        if error.source
    ] == expected(path)


def test_five_mistakes_are_five_errors() -> None:
    with pytest.raises(Mistakes) as caught:
        read_marks(Path(__file__).with_name("mistakes") / "five.yaml")
    assert len(caught.value.errors) == 5
