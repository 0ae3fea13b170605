"""One place for what is alike: whether a place is a harder one over again, or half of it is.

Enters: what is searched, the places taken so far, another place. Leaves: the places, with the other
named beside the one that it is like.
"""

from dataclasses import replace

from engrave.music.notes import Hand
from engrave.survey.model import Side, Spot
from engrave.survey.naming import in_order
from engrave.survey.searched import Searched

AS_HARD = 0.9
"""The share of a place's height from which the same figure elsewhere is as hard."""

VARIED = 0.6
"""The part of a place that a harder one has already, from which it is no place of its own."""

HELD_AGAINST = 10
"""The hardest places, with which the others are compared: there are not more in a booklet."""


def joined(piece: Searched, chosen: list[Spot], other: Spot) -> bool:
    """Whether a harder place is this one too, on other steps or but for some notes; it is named."""
    for place, known in enumerate(chosen):
        if known.hands == other.hands and piece.contents.is_like(
            known.span, other.span, other.hands
        ):
            chosen[place] = _one_place(known, other, nearly=False)
            return True
    for place, known in enumerate(chosen[:HELD_AGAINST]):
        if set(other.hands) <= set(known.hands) and _is_varied(piece, known, other, other.hands):
            chosen[place] = _one_place(known, other, nearly=True)
            return True
    return False


def other_hand(piece: Searched, chosen: list[Spot], both: Spot) -> Hand | None:
    """The hand that has less of the trouble of ``both``, if a harder place has the other's.

    It is named there. None where the trouble is new, or one hand's.
    """
    if len(both.hands) == 1:
        return None
    harder, other = sorted(both.hands, key=lambda hand: -_sum_of(piece, hand, both))
    for place, known in enumerate(chosen[:HELD_AGAINST]):
        if known.hands == (harder,) and _is_varied(piece, known, both, (harder,)):
            chosen[place] = replace(known, varied=in_order((*known.varied, both.span)))
            return other
    return None


def _sum_of(piece: Searched, hand: Hand, spot: Spot) -> float:
    return sum(piece.weighed.at(Side(hand), index) for index in spot.span)


def _is_varied(piece: Searched, known: Spot, other: Spot, hands: tuple[Hand, ...]) -> bool:
    return piece.variants.share(known.span, other.span, hands) >= VARIED


def _one_place(known: Spot, other: Spot, nearly: bool) -> Spot:
    """The earlier of two places, unless it is much easier or one hand's alone; other is named."""
    stays, named = known, other
    if (
        known.hands == other.hands
        and other.first < known.first
        and other.height >= AS_HARD * known.height
    ):
        like, varied = known.like, known.varied
        stays = replace(other, height=known.height, like=like, varied=varied)
        named = known
    names = (named.span, *named.others)
    if nearly:
        return replace(stays, varied=in_order((*stays.varied, *names)))
    return replace(stays, like=in_order((*stays.like, *names)))
