"""The drill families, in the order in which a passage is practised."""

from typing import Any

from engrave.drills import (
    accents,
    against,
    as_written,
    blocks,
    bursts,
    chain,
    hands_apart,
    leaps,
    other_hand,
    outline,
    rhythms,
    staccato,
    voices,
)
from engrave.drills.family import Family, Made
from engrave.marks.options import Families

__all__ = ["FAMILIES", "OPTIONS", "Family", "Made"]

FAMILIES: tuple[Family[Any], ...] = (
    as_written.FAMILY,
    hands_apart.FAMILY,
    against.FAMILY,
    voices.FAMILY,
    rhythms.FAMILY,
    accents.FAMILY,
    bursts.FAMILY,
    blocks.FAMILY,
    leaps.FAMILY,
    chain.FAMILY,
    outline.FAMILY,
    staccato.FAMILY,
    other_hand.FAMILY,
)
"""Every family, in playing order; to add one, write its module and list it here."""

OPTIONS: Families = {family.name: family.options for family in FAMILIES}
"""What each family takes from the marks file."""
