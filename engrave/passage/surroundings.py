"""What a hand plays just before and after a passage, by which its first and last fingers go.

Enters: the score, where the passage begins and ends, the hand. Leaves: a few onsets on either side,
their times counted from the start of the passage. Knows no marks.
"""

from dataclasses import dataclass, replace
from functools import partial

from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.music.sheet import Moment
from engrave.music.units import Quarters
from engrave.passage.onsets import onsets
from engrave.score import Score, movements_of

AROUND = 8
"""How many onsets on either side are looked at."""
_BARS = 8
"""In so many bars on either side they are looked for."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The onsets before and after a passage; the score's own fingers stand on them."""

    before: tuple[Onset, ...] = ()
    after: tuple[Onset, ...] = ()

    def bare(self) -> "Surroundings":
        """The same without fingers."""
        return Surroundings(*(tuple(map(_bare, side)) for side in (self.before, self.after)))


def surroundings(score: Score, start: Moment, end: Moment, hand: Hand) -> Surroundings:
    """What ``hand`` strikes in the same movement before ``start`` and from ``end`` on."""
    sheet = score.sheet
    movement = next(bars for bars in movements_of(sheet) if start.bar in bars)
    first = max(movement[0], start.bar - _BARS)
    last = min(movement[-1], end.bar + _BARS)
    near = replace(sheet, bars=sheet.bars[first : last + 1])
    starts = near.starts
    here = starts[start.bar - first] + start.offset
    there = starts[end.bar - first] + end.offset
    line = onsets(near, hand)
    moved = partial(_moved, back=here)
    return Surroundings(
        tuple(map(moved, [onset for onset in line if onset.time < here][-AROUND:])),
        tuple(map(moved, [onset for onset in line if onset.time >= there][:AROUND])),
    )


def _moved(onset: Onset, back: Quarters) -> Onset:
    return replace(onset, time=onset.time - back)


def _bare(onset: Onset) -> Onset:
    return replace(onset, tones=tuple(replace(tone, finger=None) for tone in onset.tones))
