"""What it costs to have two fingers so far apart, whether in one chord or one after the other.

Enters: two fingers and the distance of their keys. Leaves: costs by rule.
"""

from collections.abc import Iterable, Iterator

from engrave.fingering.costs import weight
from engrave.fingering.keyboard import SEMITONE_MM, WHITE_MM, reach

Cost = tuple[str, float]
"""A rule by name and what it costs here."""

_SPREAD_MM = 4 * WHITE_MM
"""So far beyond rest two fingers feel that they spread; further, only the reach matters."""


def priced(amounts: Iterable[Cost], share: float = 1.0) -> tuple[Cost, ...]:
    """The costs of so many units of each rule, those that are nothing left out."""
    return tuple((rule, amount * weight(rule) * share) for rule, amount in amounts if amount)


def total(costs: Iterable[Cost]) -> float:
    """The sum of costs by rule."""
    return sum(amount for _, amount in costs)


def span_amounts(low: int, high: int, span_mm: float, stretch_mm: float) -> Iterator[Cost]:
    """How far two fingers in their order are from rest, in semitones of each rule.

    Fingers rest a white key apart. Beyond that, the reach of the pair makes itself felt.
    """
    limits = reach(low, high, stretch_mm)
    off_rest = span_mm - (high - low) * WHITE_MM
    within = min(span_mm, limits.max_prac)
    thumb = low == 1
    yield "spread-thumb" if thumb else "spread", _semitones(min(off_rest, _SPREAD_MM))
    yield "cramped-thumb" if thumb else "cramped", _semitones(-off_rest)
    yield "relaxed-span", _semitones(within - limits.max_rel)
    yield "stretch", _semitones(within - limits.max_comf)
    yield "leap", _semitones(span_mm - limits.max_prac)


def _semitones(mm: float) -> float:
    return max(mm, 0.0) / SEMITONE_MM
