"""What lies on the desk: a score and its marks file, found from either.

Enters: a path. Leaves: ``Opened``. Makes no file.
"""

from dataclasses import dataclass
from pathlib import Path

from engrave.desk.beginning import ToBegin
from engrave.errors import EngraveError, Source
from engrave.machine import endings
from engrave.machine.missing import instead
from engrave.machine.typed import as_typed
from engrave.survey.beginning import ScoreFile, score_lines

MOST_LOOKED_AT = 200
"""Marks files of one folder that are asked for their score."""


@dataclass(frozen=True, slots=True)
class Opened:
    """The marks file, and where it does not exist yet: the text that names its score, and how it
    is to be begun once that is read."""

    marks: Path
    first_text: str = ""
    begun: ToBegin | None = None


def opened(
    path: Path, part: str | None = None, movement: int | None = None, language: str = "en"
) -> Opened:
    """The desk for a score or a marks file.

    A score opens the marks file of its folder that names it; where there is none, one named like
    the score is begun at the first mark, in the ``language`` given. Raises ``EngraveError`` where
    there are several, where the name that it would have is taken, or for a file that is named as
    marks are and is plainly something else.
    """
    if not path.is_file():
        raise EngraveError("there is no such file", Source(str(path)), _instead(path))
    if endings.is_marks(path):
        _refuse_others(path)
        return Opened(path)
    named = [each for each in _marks_beside(path) if _score_of(each) == path.name]
    if len(named) > 1:
        names = ", ".join(each.name for each in named)
        raise EngraveError(
            f"several marks files name {path.name}: {names}",
            Source(str(path)),
            f"open one of them: engrave desk {as_typed(named[0])}",
        )
    if named:
        return Opened(named[0])
    marks = path.with_suffix(".yaml")
    if marks.exists():
        raise EngraveError(
            f"{marks.name} stands beside the score and does not name it",
            Source(str(marks)),
            f"write score: {path.name} in it, or give it another name",
        )
    begun = ToBegin(ScoreFile(path.name, str(marks), part or "", movement), language)
    return Opened(marks, _first_text(begun), begun)


def _instead(path: Path) -> str:
    return instead(path, endings.MARKS if endings.is_marks(path) else endings.SCORES)


def _refuse_others(path: Path) -> None:
    """A log, say, can be mended by no marking of it; marks with mistakes can."""
    from engrave.marks.kinds import no_marks
    from engrave.marks.text import read_bytes

    if other := no_marks(read_bytes(path), path):
        raise other


def _marks_beside(score: Path) -> list[Path]:
    entries = sorted(score.absolute().parent.iterdir())
    files = [each for each in entries if endings.is_marks(each) and each.is_file()]
    return [score.parent / each.name for each in files[:MOST_LOOKED_AT]]


def _score_of(marks: Path) -> str | None:
    """The score that a marks file names; None where it cannot be read."""
    from engrave.marks.spans import plain, read_spans
    from engrave.marks.text import read_text

    try:
        tree = plain(read_spans(read_text(marks), str(marks)))
    except EngraveError:
        return None
    score = tree.get("score") if isinstance(tree, dict) else None
    return score if isinstance(score, str) else None


def _first_text(begun: ToBegin) -> str:
    movement = begun.file.movement
    lines = [f"piece: {{movement: {movement}}}"] if movement is not None else []
    return "\n".join([*lines, *score_lines(begun.file, begun.language)]) + "\n"
