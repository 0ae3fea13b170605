"""As written: the passage itself, both hands, with fingers: where every other drill leads back to.

Enters: a passage. Leaves: one drill, ``whole``, on the passage's own ladder.
"""

from dataclasses import replace

from engrave.drills.as_printed import as_printed
from engrave.drills.family import Family, Made, Options, drill_of
from engrave.music.drill import AS_WRITTEN
from engrave.music.notes import Hand
from engrave.passage.held_over import beside
from engrave.passage.model import Passage


def make(passage: Passage, options: Options) -> Made:
    """The passage as printed, nothing left out."""
    hands = tuple(hand for hand in Hand if passage.lines[hand])
    printed = as_printed(passage, hands, keeps_staves=True)
    name = (AS_WRITTEN, "whole")
    told = beside(passage)
    drill = drill_of(
        passage, options, name, hands, printed.sheet, printed.source, ticked=True, remarks=told
    )
    return Made((replace(drill, complete=True),))


FAMILY = Family(AS_WRITTEN, make, Options)
