"""As written: the passage itself, both hands, with fingers: where every other drill leads back to.

Enters: a passage. Leaves: one drill, ``whole``, on the passage's own ladder.
"""

from fractions import Fraction

from engrave.drills.as_printed import as_printed
from engrave.drills.family import Family, Made, Options, played, scaled_ladder
from engrave.music.drill import Drill
from engrave.music.notes import Hand
from engrave.passage.model import Passage


def make(passage: Passage, options: Options) -> Made:
    """The passage as printed, nothing left out."""
    hands = tuple(hand for hand in Hand if passage.lines[hand])
    printed = as_printed(passage, hands)
    drill = Drill(
        passage=passage.id,
        family="as-written",
        variant="whole",
        hands=hands,
        sheet=printed.sheet,
        ladder=scaled_ladder(passage, options, Fraction(1), passage.goal.beat),
        source=printed.source,
        written=played(printed.sheet),
    )
    return Made((drill,))


FAMILY = Family("as-written", make)
