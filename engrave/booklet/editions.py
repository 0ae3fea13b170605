"""The editions on paper: what each is, as data.

An edition has a name, sizes, and what it says. A new one is an entry here, a template that says
what stands before and after the passages, and a style sheet, both of its name.
"""

from dataclasses import dataclass
from enum import StrEnum


class Says(StrEnum):
    """What an edition may say of a passage and its drills, beside the music."""

    TROUBLE = "trouble"
    REMARKS = "remarks"
    PRIVATE = "private"
    FINGERING = "fingering"
    CUES = "cues"
    LEAPS = "leaps"
    EVERYTHING = "everything"
    """Every sentence of a drill; else the first one has to do."""


Margins = tuple[float, float, float, float]
"""Top, bottom, inner, outer, in millimetres."""

WIDE: Margins = (18, 20, 22, 20)
SMALL: Margins = (14, 16, 15, 11)
"""They leave the 6 mm that home printers cannot reach and, inside, room for a staple."""


@dataclass(frozen=True, slots=True)
class Traits:
    """An edition's sizes and habits.

    ``is_named``: prints the student's name; ``is_dated``: boxes have room for a date;
    ``is_spread``: what is left at the foot of a page goes between its blocks, as on folded paper.
    """

    staff_mm: float
    margins_mm: Margins
    says: frozenset[Says]
    is_named: bool = True
    is_dated: bool = True
    is_spread: bool = False


class Edition(StrEnum):
    """What a booklet is for."""

    STUDENT = "student"
    STAND = "stand"
    MASTERCLASS = "masterclass"

    @property
    def traits(self) -> Traits:
        """What it is like."""
        return TRAITS[self]


TRAITS: dict[Edition, Traits] = {
    Edition.STUDENT: Traits(7.0, WIDE, frozenset(Says)),
    Edition.STAND: Traits(8.0, (14, 15, 18, 14), frozenset(), is_dated=False, is_spread=True),
    Edition.MASTERCLASS: Traits(7.0, WIDE, frozenset(Says) - {Says.PRIVATE}, is_named=False),
}
"""Staff heights: Gould, Behind Bars: 7.0 mm piano, 7.9 mm teaching."""
