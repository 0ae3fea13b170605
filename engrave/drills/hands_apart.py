"""Hands apart: each marked hand by itself, as printed.

Enters: a passage. Leaves: a drill a hand, variants ``right`` and ``left``.
"""

from engrave.drills.as_printed import as_printed
from engrave.drills.family import Family, Made, Options, drill_of
from engrave.drills.needs import Need, beats, seconds, share
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.music.units import Quarters
from engrave.passage.model import Passage
from engrave.remarks import Remark

BUSY = 3
"""Strokes a second of a hand that has enough to do (a judgement)."""


def make(passage: Passage, options: Options) -> Made:
    """A drill for every marked hand."""
    return Made(tuple(_drill(passage, options, hand) for hand in passage.hands))


def _drill(passage: Passage, options: Options, hand: Hand) -> Drill:
    printed = as_printed(passage, (hand,))
    name = ("hands-apart", hand.value)
    return drill_of(passage, options, name, (hand,), printed.sheet, printed.source)


def need(passage: Passage) -> Need | None:
    """The beats in which both hands are busy; then the chain puts them together again."""
    if len(passage.hands) < 2:
        return None
    busy = [
        (start, end)
        for start, end in beats(passage)
        if all(_is_busy(passage, hand, start, end) for hand in passage.hands)
    ]
    if not busy:
        return None
    return Need(share(passage, busy), 1, passage.hands, Remark.of("why.both"), ("chain",))


def steps_in(passage: Passage) -> int:
    """Where no chain can be made, if both hands have notes."""
    both = len(passage.hands) > 1 and all(passage.lines[hand] for hand in passage.hands)
    return 2 if both else 0


def _is_busy(passage: Passage, hand: Hand, start: Quarters, end: Quarters) -> bool:
    struck = sum(start <= onset.time < end for onset in passage.lines[hand])
    return struck >= 2 and struck >= BUSY * seconds(passage, end - start)


FAMILY = Family("hands-apart", make, Options, need, steps_in=steps_in)
