"""How far two fingers are from rest, whether in one chord or one after the other.

Enters: two fingers and the distance of their keys. Leaves: amounts by rule.
"""

from collections.abc import Iterator

from engrave.fingering.costs import Amount
from engrave.fingering.hand import reach
from engrave.fingering.keyboard import SEMITONE_MM, WHITE_MM

_SPREAD_MM = 4 * WHITE_MM
"""So far beyond rest two fingers feel that they spread; further, only the reach matters."""


def span_amounts(
    low: int, high: int, span_mm: float, stretch_mm: float, chord: str = ""
) -> Iterator[Amount]:
    """How far two fingers in their order are from rest, in semitones of each rule.

    Fingers rest a white key apart. Beyond that, the reach of the pair makes itself felt, the more
    the further. ``chord`` is ``chord-`` for fingers that are down together.
    """
    limits = reach(low, high, stretch_mm)
    off_rest = span_mm - (high - low) * WHITE_MM
    yield f"{chord}spread-{low}{high}", semitones(min(off_rest, _SPREAD_MM))
    yield f"{chord}cramped-{low}{high}", semitones(-off_rest)
    yield f"{chord}relaxed-span", semitones(span_mm - limits.max_rel)
    yield f"{chord}stretch", semitones(span_mm - limits.max_comf)
    yield f"{chord}leap", semitones(span_mm - limits.max_prac)


def semitones(mm: float) -> float:
    """Millimetres in semitones of an even keyboard; nothing where they are negative."""
    return max(mm, 0.0) / SEMITONE_MM
