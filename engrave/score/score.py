"""A score as it was read: the keyboard part as a sheet, and what the file says about it.

Nothing here knows how scores are read; importing it costs nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import groupby

from engrave.errors import Notice
from engrave.music.sheet import Moment, Sheet
from engrave.music.units import Quarters


class TempoOrigin(StrEnum):
    """Where a tempo comes from, the surest first."""

    MARK = "mark"
    """A metronome mark printed in the part."""
    ELSEWHERE = "elsewhere"
    """A metronome mark of another part, of the file's header, or a number that is not printed."""
    WORDS = "words"
    """Tempo words, by the ranges on the dials of metronomes."""
    PLAYBACK = "playback"
    """What a program plays the file at."""


@dataclass(frozen=True, slots=True)
class TempoMark:
    """A tempo: from ``moment`` on, ``per_minute`` beats of ``beat`` quarters.

    ``words`` are those it comes from, or by which it is called, where there are any.
    """

    moment: Moment
    beat: Quarters
    per_minute: Fraction
    origin: TempoOrigin = TempoOrigin.MARK
    words: str = ""


@dataclass(frozen=True, slots=True)
class Score:
    """The keyboard part of one score file.

    ``part`` is its name and ``parts`` the names of all parts of the file, in score order;
    ``tempos`` what it says of its tempo, in order, each with its origin; ``notices`` what
    the user should know of the reading; ``sha256`` the digest of the file's bytes, in hex;
    ``file`` the name of the file. ``staves`` are, for each of the part's staves, those that the
    file counts, from its top, from 1, and ``first_bar`` is the index, in the file, of the sheet's
    first bar. ``unread`` are the bars, by their index, of which nothing could be read, and why.
    """

    sheet: Sheet
    title: str
    composer: str
    part: str
    parts: tuple[str, ...]
    tempos: tuple[TempoMark, ...]
    notices: tuple[Notice, ...]
    sha256: str
    file: str
    staves: tuple[tuple[int, ...], ...] = ((1,), (2,))
    first_bar: int = 0
    unread: tuple[tuple[int, str], ...] = ()


def tempo_at(score: Score, moment: Moment) -> TempoMark | None:
    """The tempo in force at ``moment``, of the surest origin; None where there is none so far."""
    return _in_force(score.tempos, moment)


def tempos_in_force(score: Score) -> tuple[TempoMark, ...]:
    """The tempos by which the score goes, one after the other."""
    moments = sorted({mark.moment for mark in score.tempos})
    marks = [mark for moment in moments if (mark := _in_force(score.tempos, moment))]
    return tuple(mark for mark, _ in groupby(marks))


def _in_force(tempos: Sequence[TempoMark], moment: Moment) -> TempoMark | None:
    for origin in TempoOrigin:
        here = [mark for mark in tempos if mark.origin is origin and mark.moment <= moment]
        if here:
            return here[-1]
    return None
