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

__all__ = ["FAMILIES", "OPTIONS", "REMEDIES", "Family", "Made"]

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

REMEDIES: tuple[tuple[Family[Any], ...], ...] = (
    (rhythms.FAMILY, accents.FAMILY, bursts.FAMILY, chain.FAMILY, staccato.FAMILY),
    (blocks.FAMILY, outline.FAMILY, chain.FAMILY),
    (leaps.FAMILY, hands_apart.FAMILY, chain.FAMILY),
    (against.FAMILY, hands_apart.FAMILY, chain.FAMILY),
    (voices.FAMILY, hands_apart.FAMILY, chain.FAMILY),
)
"""Families that serve the same trouble, in the order in which a teacher turns to them."""

OPTIONS: Families = {family.name: family.options for family in FAMILIES}
"""What each family takes from the marks file."""
