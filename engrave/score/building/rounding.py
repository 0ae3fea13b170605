"""Ticks become the fractions that were meant.

Enters: raw bars whose places are what a file's ticks give: two thirds as 683 of 1024. Leaves: the
same bars with exact ones. What is meant is known from the printed values: a note begins where the
one before it in its voice ends, unless it plainly does not.
"""

from collections.abc import Iterable

from engrave.music.units import Quarters
from engrave.score.building.durations import ROUNDING, exact_length
from engrave.score.formats.raw import RawBar

FINEST_TICK = Quarters(1, 384)
"""A place this near to a plain fraction is meant to be that fraction."""
PLAIN = 96


def settle(bars: Iterable[RawBar]) -> None:
    """Move what stands in ``bars`` to where it was meant to stand."""
    for bar in bars:
        ends: dict[str, dict[int, Quarters]] = {}
        for item in bar.items:
            line = ends.setdefault(item.voice, {})
            own = line.pop(item.staff, Quarters(0))
            others = (end for end in line.values() if end)  # a voice may cross the staves
            near = (end for end in (own, *others) if abs(item.offset - end) < ROUNDING)
            item.offset = next(near, None) or settled(item.offset)
            line[item.staff] = item.offset + exact_length(item.element.duration)
        for sign in bar.signs:
            sign.offset = settled(sign.offset)
        bar.reach = settled(bar.reach)


def settled(offset: Quarters) -> Quarters:
    """The plain fraction that ``offset`` is meant to be; itself where none is near."""
    plain = offset.limit_denominator(PLAIN)
    return plain if abs(plain - offset) < FINEST_TICK else offset
