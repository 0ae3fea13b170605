"""Where the thumb goes under a finger, or a finger over the thumb.

Enters: fingered onsets of one hand. Leaves: ``ThumbPass``es in order. Knows no drills.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from engrave.fingering.keyboard import WHITE_MM, signed_mm
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset

_WIDEST_PASS_MM = 5 * WHITE_MM
"""A thumb goes under as far as a fifth or so (widest arpeggios); further, the hand leaps."""
_PASSED = (2, 3, 4)
"""Fingers that the thumb passes under; beyond the little finger the whole hand moves."""


@dataclass(frozen=True, slots=True)
class ThumbPass:
    """Thumb and finger change sides between two single notes.

    ``onset`` is the index of the later one. ``under``: the thumb goes under ``finger``, onto
    ``pitch``; otherwise ``finger`` goes over the thumb, onto ``pitch``.
    """

    onset: int
    finger: int
    pitch: Pitch
    under: bool


def thumb_passes(onsets: Sequence[Onset], hand: Hand) -> tuple[ThumbPass, ...]:
    """Every pass of the thumb in a fingered line, in order."""
    found = []
    for number, (before, after) in enumerate(pairwise(onsets), 1):
        if len(before.tones) > 1 or len(after.tones) > 1 or before.pitches == after.pitches:
            continue
        (first,), (second,) = before.finger_numbers, after.finger_numbers
        if 1 not in (first, second) or max(first, second) not in _PASSED:
            continue
        outwards = signed_mm(before.pitches[0], after.pitches[0])
        outwards *= 1 if hand is Hand.RIGHT else -1
        under = second == 1
        if (outwards > 0) == under and abs(outwards) <= _WIDEST_PASS_MM:
            found.append(ThumbPass(number, max(first, second), after.pitches[0], under))
    return tuple(found)
