"""What no piano score contains.

Enters: raw bars. Raises ``EngraveError`` at the first thing in them that cannot be meant. Knows
nothing of notation.
"""

from collections.abc import Iterable

from engrave.errors import EngraveError
from engrave.score.raw import Item, RawBar

LONGEST_BAR = 256
"""Quarters; a free cadenza printed as one bar has fewer."""
OCTAVES = range(-1, 11)
ALTERS = range(-3, 4)
MOST_DOTS = 4


def refuse_impossible(bars: Iterable[RawBar]) -> None:
    """Raise where a bar is endless, a pitch beyond hearing, or a note has a row of dots."""
    for bar in bars:
        for item in bar.items:
            problem = _problem(item)
            if problem:
                raise EngraveError(
                    f"measure {bar.name} cannot be meant: {problem}", hint="mend it in the score"
                )


def _problem(item: Item) -> str | None:
    duration = item.element.duration
    if not item.offset + duration.quarterLength <= LONGEST_BAR:
        return f"it is longer than {LONGEST_BAR} quarters"
    if any(piece.dots > MOST_DOTS for piece in duration.components):
        return f"a note has more than {MOST_DOTS} dots"
    for pitch in () if item.element.isRest else item.element.pitches:
        if pitch.implicitOctave not in OCTAVES:
            return f"a note stands in octave {pitch.implicitOctave}"
        if int(pitch.alter) not in ALTERS:
            return f"a note is altered by {pitch.alter:g} semitones"
    return None
