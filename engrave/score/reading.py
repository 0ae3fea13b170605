"""A score file is read.

Enters: a path, and the part that was asked for. Leaves: a ``Score``. Knows no marks and no drills.
"""

from collections import Counter
from pathlib import Path

from engrave.errors import EngraveError, Notice, Source
from engrave.model import Sheet
from engrave.score.bars import build_bars, tempos_of
from engrave.score.files import music_xml, read_bytes
from engrave.score.movements import choose_movement
from engrave.score.rounding import settle
from engrave.score.score import Score
from engrave.score.spans import join
from engrave.score.voices import Voices

MUSIC_XML = (".musicxml", ".xml", ".mxl")


def read_score(
    path: Path,
    *,
    part: str | None = None,
    movement: int | str | None = None,
    source: Source | None = None,
) -> Score:
    """Read the keyboard part of the score at ``path``.

    ``part`` names it where the file has several. ``movement`` counts from 1 and chooses among those
    of a file in which measure numbers begin anew; a file of one movement is taken for the one that
    is named. ``source`` is the place in the marks file that names the score: every
    ``EngraveError`` that is raised carries it.
    """
    try:
        return _read(path, part, movement)
    except EngraveError as error:
        raise (error.at(source) if source else error) from None


def _read(path: Path, part: str | None, movement: int | str | None) -> Score:
    data, digest = read_bytes(path)
    if path.suffix.lower() in MUSIC_XML:
        from engrave.score.musicxml import read_music_xml

        raw = read_music_xml(music_xml(data, path.name), part, path.name)
    else:
        from engrave.score.formats import parsed
        from engrave.score.streams import read_stream

        raw = read_stream(parsed(path), part, path.name)
    settle(raw.part.bars)
    voices = Voices(raw.part.bars)
    spans, single = join(raw.part, voices)
    bars = build_bars(raw.part, voices)
    whole = Score(
        sheet=Sheet(bars, spans),
        title=raw.title,
        composer=raw.composer,
        part=raw.name,
        parts=raw.names,
        tempos=tempos_of(bars),
        notices=_notices(raw.part.lost + single, path.name),
        sha256=digest,
        file=path.name,
    )
    return whole if movement is None else choose_movement(whole, movement)


def _notices(lost: Counter[str], file: str) -> tuple[Notice, ...]:
    return tuple(
        Notice(f"not read: {name} ({count})", Source(file)) for name, count in sorted(lost.items())
    )
