"""Ticks become the fractions that were meant.

Enters: offsets and lengths as a file's ticks give them: two thirds as 683 of 1024. Leaves: exact
ones. Knows nothing of bars. What is meant is known from the printed values: a note begins where the
one before it in its voice ends, unless it plainly does not.
"""

from collections.abc import Iterable
from dataclasses import replace

from engrave.model import Event
from engrave.units import Quarters

ROUNDING = Quarters(1, 64)
"""A length this near to its printed value is meant to be that value."""
FINEST_TICK = Quarters(1, 384)
"""An offset this near to a plain fraction is meant to be that fraction."""
PLAIN = 96


def settled_offset(offset: Quarters) -> Quarters:
    """The plain fraction that ``offset`` is meant to be; itself where none is near."""
    plain = offset.limit_denominator(PLAIN)
    return plain if abs(plain - offset) < FINEST_TICK else offset


def settled(events: Iterable[Event]) -> list[Event]:
    """``events``, each beginning where the one before it in its voice ends, if it is that near."""
    ends: dict[int, Quarters] = {}
    result = []
    for event in events:
        end = ends.get(event.voice, Quarters(0))
        near = abs(event.offset - end) < ROUNDING
        moved = replace(event, offset=end if near else settled_offset(event.offset))
        ends[event.voice] = moved.end
        result.append(moved)
    return result
