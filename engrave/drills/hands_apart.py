"""Hands apart: each marked hand by itself, as printed.

Enters: a passage. Leaves: a drill a hand, variants ``right`` and ``left``.
"""

from fractions import Fraction

from engrave.drills.as_printed import as_printed
from engrave.drills.family import Family, Made, Options, played, scaled_ladder
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.passage.model import Passage


def make(passage: Passage, options: Options) -> Made:
    """A drill for every marked hand."""
    return Made(tuple(_drill(passage, options, hand) for hand in passage.hands))


def _drill(passage: Passage, options: Options, hand: Hand) -> Drill:
    printed = as_printed(passage, (hand,))
    return Drill(
        passage=passage.id,
        family="hands-apart",
        variant=hand.value,
        hands=(hand,),
        sheet=printed.sheet,
        ladder=scaled_ladder(passage, options, Fraction(1), passage.goal.beat),
        source=printed.source,
        written=played(printed.sheet),
    )


def steps_in(passage: Passage) -> bool:
    """Whether there are hands to take apart."""
    return len(passage.hands) > 1


FAMILY = Family("hands-apart", make, steps_in=steps_in)
