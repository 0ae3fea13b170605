"""A score file is read.

Enters: a path or what was held of it, and the part that was asked for. Leaves: a ``Score``. Knows
no marks and no drills.
"""

import io
import warnings
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, redirect_stderr, redirect_stdout
from pathlib import Path

from engrave.errors import EngraveError, Notice, Source
from engrave.music.sheet import Sheet
from engrave.score.building.bars import build_bars
from engrave.score.building.fullness import told_fullness
from engrave.score.building.layers import separate
from engrave.score.building.lines import following_lines
from engrave.score.building.page_texts import without_page_texts
from engrave.score.building.rounding import settle
from engrave.score.building.spans import join
from engrave.score.building.tempos import tempos_of
from engrave.score.building.text_fingers import take_text_fingers
from engrave.score.building.voices import Voices
from engrave.score.formats.limits import refuse_impossible
from engrave.score.formats.raw import RawBar, RawScore
from engrave.score.formats.readers import read_raw
from engrave.score.formats.unpitched import without_unpitched
from engrave.score.held import Held, hold
from engrave.score.movements import choose_movement
from engrave.score.score import Score
from engrave.score.titles import natural_name, own_title

MOST_PLACES = 6
"""Measures that are named where signs of one kind were not read."""

LONGEST_NAME = 12
"""Letters of a measure's name; a longer one is a file's mistake, and would fill the page."""


def read_score(
    file: Path | Held,
    *,
    part: str | None = None,
    movement: int | str | None = None,
    source: Source | None = None,
) -> Score:
    """Read the keyboard part of the score at a path, or of one that is held already.

    ``part`` names it where the file has several. ``movement`` counts from 1 and chooses among those
    of a file in which measure numbers begin anew; a file of one movement is taken for the one that
    is named. ``source`` is the place in the marks file that names the score: every
    ``EngraveError`` that is raised carries it, whatever is wrong with the file.
    """
    try:
        held = hold(file) if isinstance(file, Path) else file
        with _one_error(held.name):
            raw = read_raw(held.data, held.name, part, movement)
            for bar in raw.part.bars:
                bar.name = bar.name[:LONGEST_NAME]
            without_unpitched(raw.part)
            refuse_impossible(raw.part.bars, len(raw.staves), held.name)
            score = _built(raw, held)
        return score if movement is None else choose_movement(score, movement)
    except EngraveError as error:
        raise error.at(source) from None


@contextmanager
def _one_error(name: str) -> Iterator[None]:
    """Whatever a reader stumbles over in a damaged file is one error of the user's.

    What readers say besides, printed or as warnings, is not for the user.
    """
    aside = io.StringIO()
    try:
        with warnings.catch_warnings(), redirect_stderr(aside), redirect_stdout(aside):
            warnings.simplefilter("ignore")
            yield
    except EngraveError:
        raise
    except Exception as error:
        said = " ".join(f"{type(error).__name__}: {error}".split())
        raise EngraveError(
            f"{name} is damaged: it cannot be read as a score",
            hint=f"the reader stopped at {said[:200]}",
        ) from error


def _built(raw: RawScore, held: Held) -> Score:
    name, part, staves = held.name, raw.part, len(raw.staves)
    part.edges = [edge for edge in part.edges if part.bars[edge.bar].unread is None]
    without_page_texts(raw)
    settle(part.bars)
    take_text_fingers(part.bars, staves)
    separate(part)
    voices = Voices(part.bars)
    spans = join(part, voices)
    sheet = Sheet(build_bars(part, voices, staves), spans, staves=tuple(range(1, staves + 1)))
    sheet = following_lines(sheet)
    title = own_title(raw.title, name)
    notices = [*raw.notes, *_lost(part.bars, sheet), *told_fullness(sheet), *_unread(part.bars)]
    return Score(
        sheet=sheet,
        title=title,
        composer=natural_name(raw.composer),
        part=raw.name,
        parts=raw.names,
        tempos=tempos_of(sheet, raw.tempos, [title, *raw.headers]),
        notices=tuple(Notice(text, Source(name)) for text in notices),
        sha256=held.sha256,
        file=name,
        staves=raw.staves,
        unread=tuple((n, bar.unread) for n, bar in enumerate(part.bars) if bar.unread),
    )


def _lost(bars: Sequence[RawBar], sheet: Sheet) -> Iterator[str]:
    """The signs that were not read: how many of each, and in which measures."""
    for sign in sorted({sign for bar in bars for sign, count in bar.lost.items() if count}):
        count = sum(bar.lost[sign] for bar in bars)
        names = [bar.name for bar, raw in zip(sheet.bars, bars, strict=True) if raw.lost[sign]]
        several = ", ".join((*names[:MOST_PLACES], *("…" for _ in names[MOST_PLACES:][:1])))
        place = f"in measures {several}" if len(names) > 1 else f"in measure {several}"
        yield f"not read: {sign} ({count}), {place}"


def _unread(bars: Sequence[RawBar]) -> Iterator[str]:
    """The measures of which nothing could be read; passages in them are not built."""
    for bar in bars:
        if bar.unread:
            yield (
                f"measure {bar.name} cannot be read and stands empty: {bar.unread}; mend it in "
                "the score, passages in it are not built"
            )
