"""What a passage needs of the plan. The types alone: nothing here knows dates or a log."""

from dataclasses import dataclass
from enum import IntEnum


class Due(IntEnum):
    """How often a passage is to come, the most often first."""

    OFTEN = 0
    """New, or stuck."""
    STEADY = 1
    """On its way."""
    WELL = 2
    """At its goal, or nearly."""
    DONE = 3
    """Done, and not in the booklet any more."""


@dataclass(frozen=True, slots=True)
class PassageNeed:
    """A passage by its number, with the numbers of its drills, the neediest first."""

    passage: str
    drills: tuple[str, ...] = ()
    need: Due = Due.STEADY
