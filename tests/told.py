"""What a marks file is expected to be told, read from the comments above its lines.

``# error: COLUMN: MESSAGE``, ``# hint: HINT`` after it, ``# warning: COLUMN: MESSAGE``.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from pathlib import Path

from engrave.errors import EngraveError, Notice


@dataclass(frozen=True, slots=True)
class Told:
    """A mistake or a warning, and where it stands."""

    line: int
    column: int
    message: str
    hint: str = ""
    kind: str = "error"


def expected(path: Path) -> list[Told]:
    """What the comments of ``path`` foretell, in the order of the file."""
    found: list[Told] = []
    waiting: list[Told] = []
    for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
        if told := re.fullmatch(r"# (error|warning): (\d+): (.*)", line):
            waiting.append(Told(0, int(told[2]), told[3], kind=told[1]))
        elif hint := re.fullmatch(r"# hint: (.*)", line):
            waiting[-1] = replace(waiting[-1], hint=hint[1])
        else:
            found.extend(replace(each, line=number) for each in waiting)
            waiting = []
    return found


def told_at(path: Path, told: Iterable[EngraveError | Notice]) -> list[Told]:
    """What was told of ``path``; whatever has no place in it stands in line 0."""
    found = []
    for each in told:
        here = each.source if each.source and each.source.file == str(path) else None
        line, column = (here.line, here.column) if here else (0, 0)
        if isinstance(each, EngraveError):
            found.append(Told(line, column, each.message, each.hint))
        else:
            found.append(Told(line, column, each.message, kind="warning"))
    return found
