"""Hands apart: each marked hand by itself, as printed.

Enters: a passage. Leaves: a drill a hand, variants ``right`` and ``left``.
"""

from engrave.drills.as_printed import as_printed
from engrave.drills.family import Family, Made, Options, drill_of
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.passage.model import Passage


def make(passage: Passage, options: Options) -> Made:
    """A drill for every marked hand."""
    return Made(tuple(_drill(passage, options, hand) for hand in passage.hands))


def _drill(passage: Passage, options: Options, hand: Hand) -> Drill:
    printed = as_printed(passage, (hand,))
    name = ("hands-apart", hand.value)
    return drill_of(passage, options, name, (hand,), printed.sheet, printed.source)


def steps_in(passage: Passage) -> bool:
    """Whether there are hands to take apart."""
    return len(passage.hands) > 1


FAMILY = Family("hands-apart", make, Options, steps_in=steps_in)
