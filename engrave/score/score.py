"""A score as it was read: the keyboard part as a sheet, and what the file says about it.

Nothing here knows how scores are read; importing it costs nothing.
"""

from dataclasses import dataclass
from fractions import Fraction

from engrave.errors import Notice
from engrave.music.sheet import Moment, Sheet
from engrave.music.units import Quarters


@dataclass(frozen=True, slots=True)
class TempoMark:
    """A printed metronome mark: from ``moment`` on, ``per_minute`` beats of ``beat`` quarters."""

    moment: Moment
    beat: Quarters
    per_minute: Fraction


@dataclass(frozen=True, slots=True)
class Score:
    """The keyboard part of one score file.

    ``part`` is its name and ``parts`` the names of all parts of the file, in score order;
    ``tempos`` the printed metronome marks in order (playback tempos are no marks); ``notices`` what
    the user should know of the reading; ``sha256`` the digest of the file's bytes, in hex;
    ``file`` the name of the file. ``staves`` are the part's staves as the file counts them from
    its top, from 1, and ``first_bar`` is the index, in the file, of the sheet's first bar.
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
    staves: tuple[int, ...] = (1, 2)
    first_bar: int = 0


def tempo_at(score: Score, moment: Moment) -> TempoMark | None:
    """The metronome mark in force at ``moment``; None where the score has none so far."""
    return next((mark for mark in reversed(score.tempos) if mark.moment <= moment), None)
