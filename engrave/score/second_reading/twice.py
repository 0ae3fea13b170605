"""A score is read twice, and the readings are compared.

Enters: a path, or what was held of it, and the part that was asked for. Leaves: a ``Score``, and
where the second reader differs. Knows no marks: whether a difference matters is for those who know
the passages.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from engrave.errors import EngraveError, Notice, Source
from engrave.machine.beside import Beside
from engrave.score.formats.readers import readable_text
from engrave.score.held import Held, hold
from engrave.score.reading import read_score
from engrave.score.score import Score
from engrave.score.second_reading.opinion import Difference, SecondReader, compare, notices


@dataclass(frozen=True, slots=True)
class TwiceRead:
    """A score whose notices tell of the second reading, and the differences that it found.

    ``heard_out``: the second reader came to its end, be it that it cannot read such a file. One
    that was stopped may find something else the next time.
    """

    score: Score
    differences: tuple[Difference, ...]
    heard_out: bool = True


def read_twice(
    file: Path | Held,
    *,
    part: str | None = None,
    movement: int | str | None = None,
    source: Source | None = None,
    meanwhile: Callable[[], None] | None = None,
) -> TwiceRead:
    """Read as ``read_score`` does, while verovio reads the same bytes beside it.

    Where verovio cannot read the file, a notice says that there is no second opinion. Raises
    ``EngraveError`` as ``read_score`` does. ``meanwhile``: what is left to this process while
    another one reads; without it this one does.
    """
    try:
        held = hold(file) if isinstance(file, Path) else file
    except EngraveError as error:
        raise error.at(source) from None
    first = Beside(
        partial(read_score, held, part=part, movement=movement, source=source), meanwhile is None
    )
    with first:
        if meanwhile:
            meanwhile()
        reader = _second_reader(held)  # not before: three at a time would keep back the first
        try:
            score = first.value()
            heard = reader.measures() if reader else None
        except BaseException:
            if reader:
                reader.stop()
            raise
    if heard is None:
        return _without(score, reader is None or reader.came_to_its_end)
    unread = {bar for bar, _ in score.unread}
    found = compare(heard, score.sheet, score.staves, score.first_bar)
    differences = tuple(each for each in found if each.bar not in unread)
    told = notices(differences, score.file)
    return TwiceRead(replace(score, notices=(*score.notices, *told)), differences)


def _without(score: Score, heard_out: bool) -> TwiceRead:
    """The score of which there is no second reading, and why."""
    text = "no second reader could check the notes of this file"
    if not heard_out:
        text = "the second reader was stopped before it had checked the notes of this file"
    unread = Notice(text, Source(score.file))
    return TwiceRead(replace(score, notices=(*score.notices, unread)), (), heard_out)


def _second_reader(held: Held) -> SecondReader | None:
    try:
        text = readable_text(held.data, held.name)
    except EngraveError:
        return None  # the first reading tells
    return SecondReader(text) if text is not None else None
