"""The drill families, in the order in which a passage is practised."""

from engrave.drills import as_written, hands_apart, rhythms
from engrave.drills.family import Family, Made, Options

__all__ = ["FAMILIES", "Family", "Made", "Options"]

FAMILIES: tuple[Family, ...] = (
    as_written.FAMILY,
    hands_apart.FAMILY,
    rhythms.FAMILY,
)
"""Every family, in playing order; to add one, write its module and list it here."""
