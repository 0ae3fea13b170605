"""A score is read twice, and the readings are compared.

Enters: a path, and the part that was asked for. Leaves: a ``Score``, and where the second reader
differs. Knows no marks: whether a difference matters is for those who know the passages.
"""

from dataclasses import dataclass, replace
from pathlib import Path

from engrave.errors import EngraveError, Notice, Source
from engrave.score.formats.files import read_bytes
from engrave.score.formats.readers import readable_text
from engrave.score.reading import read_score
from engrave.score.score import Score
from engrave.score.second_reading.opinion import Difference, SecondReader, compare, notices


@dataclass(frozen=True, slots=True)
class TwiceRead:
    """A score whose notices tell of the second reading, and the differences that it found."""

    score: Score
    differences: tuple[Difference, ...]


def read_twice(
    path: Path,
    *,
    part: str | None = None,
    movement: int | str | None = None,
    source: Source | None = None,
) -> TwiceRead:
    """Read as ``read_score`` does, while verovio reads the same file beside it.

    Where verovio cannot read the file, a notice says that there is no second opinion. Raises
    ``EngraveError`` as ``read_score`` does.
    """
    reader = _second_reader(path)
    try:
        score = read_score(path, part=part, movement=movement, source=source)
    except EngraveError:
        if reader:
            reader.stop()
        raise
    heard = reader.measures() if reader else None
    if heard is None:
        unread = Notice("no second reader could check the notes of this file", Source(score.file))
        return TwiceRead(replace(score, notices=(*score.notices, unread)), ())
    differences = compare(heard, score.sheet, score.staves, score.first_bar)
    told = notices(differences, score.file)
    return TwiceRead(replace(score, notices=(*score.notices, *told)), differences)


def _second_reader(path: Path) -> SecondReader | None:
    try:
        text = readable_text(read_bytes(path)[0], path.name)
    except EngraveError:
        return None  # the first reading tells
    return SecondReader(text) if text is not None else None
