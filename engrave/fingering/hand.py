"""A hand: how far its fingers reach, and what keys they can take at once.

Enters: keys, fingers and a hand's stretch. Leaves: reaches, and what is in the way. Knows nothing
of time.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations

from engrave.fingering.keyboard import (
    SEMITONE_MM,
    Key,
    is_black,
    midi_of,
    mirrored,
    signed_mm,
    white_keys_between,
)
from engrave.music.notes import STRETCH_MM, Hand

TABLE_STRETCH_MM = 210.0
"""The stretch that the published table of reaches stands for.

Its widest reach, 15 semitones (206 mm), scaled from here, makes a ninth just possible from 192 mm
and a tenth from 216 mm: where Boyle, Boyle and Booker 2015 find both reached with tension.
"""


BESIDE_MIDDLE_MM = 1.5
"""How far from the middle of its key a finger of a chord may strike, where that brings two closer.

The table counts semitones, and seven of them are 94 to 103 mm on real keys: without it the fifth of
white keys would lie a third of a millimetre beyond what 2 and 4 of a hand of 20.5 cm can hold.
"""


@dataclass(frozen=True, slots=True)
class Reach:
    """How far apart two fingers can be, lower finger to higher in the right hand.

    In millimetres; negative where the higher finger has crossed to the thumb's far side.
    The practical and the comfortable limits, least and most, and the most that is relaxed.
    """

    min_prac: float
    min_comf: float
    max_rel: float
    max_comf: float
    max_prac: float


ROUNDING_MM = 1e-6
"""What a reach is exceeded by at least: less is the arithmetic's."""

SPANS: dict[tuple[int, int], tuple[int, int, int, int, int, int]] = {
    (1, 2): (-5, -3, 1, 5, 8, 10),
    (1, 3): (-4, -2, 3, 7, 10, 12),
    (1, 4): (-3, -1, 5, 9, 12, 14),
    (1, 5): (-1, 1, 7, 10, 13, 15),
    (2, 3): (1, 1, 1, 2, 3, 5),
    (2, 4): (1, 1, 3, 4, 5, 7),
    (2, 5): (2, 2, 5, 6, 8, 10),
    (3, 4): (1, 1, 1, 2, 2, 4),
    (3, 5): (1, 1, 3, 4, 5, 7),
    (4, 5): (1, 1, 1, 2, 3, 5),
}
"""Reach of the finger pairs in semitones, right hand, rising: MinPrac, MinComf, MinRel, MaxRel,
MaxComf, MaxPrac (Parncutt, Sloboda, Clarke, Raekallio and Desain 1997, Music Perception 14)."""


@cache
def reach(low_finger: int, high_finger: int, stretch_mm: float = STRETCH_MM) -> Reach:
    """The reach of two fingers (``low_finger`` < ``high_finger``) of a hand of that stretch.

    The published semitones become millimetres of an even keyboard and grow with the hand. What is
    cramped (the least positive spans) does not: a big hand closes as far as a small one.
    """
    scale = SEMITONE_MM * stretch_mm / TABLE_STRETCH_MM
    spans = SPANS[low_finger, high_finger]
    least = [max(span, 0) * SEMITONE_MM + min(span, 0) * scale for span in spans[:2]]
    most = [span * scale for span in spans[3:]]
    return Reach(*least, *most)


def held_reach_mm(low_finger: int, high_finger: int, stretch_mm: float) -> float:
    """How far apart two fingers of a chord can be: long ones also a little beside the middle."""
    beside = 0.0 if low_finger == 1 else 2 * BESIDE_MIDDLE_MM
    return reach(low_finger, high_finger, stretch_mm).max_prac + beside


def hand_span_mm(stretch_mm: float) -> float:
    """The widest centre-to-centre distance that thumb and little finger can take at once."""
    return reach(1, 5, stretch_mm).max_prac


def in_hand(one: Key, other: Key, stretch_mm: float) -> bool:
    """Whether thumb and little finger can take both keys at once."""
    return _reaches(hand_span_mm(stretch_mm), abs(signed_mm(one, other)))


def _reaches(most_mm: float, span_mm: float) -> bool:
    return span_mm <= most_mm + ROUNDING_MM


def thumb_takes_both(low: Key, high: Key) -> bool:
    """Whether one thumb can strike two keys at once: white ones side by side."""
    white = not is_black(low) and not is_black(high)
    return white and white_keys_between(midi_of(low), midi_of(high)) == 1


def orders(keys: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """Every way in which fingers of a right hand rise with the keys.

    The thumb may take the two lowest of more than two, if they are neighbours; of six it must.
    """
    count = len(keys)
    yield from combinations(range(1, 6), count)
    if count > 2 and thumb_takes_both(keys[0], keys[1]):
        yield from ((1, 1, *rest) for rest in combinations(range(2, 6), count - 2))


def obstacles(
    keys: Sequence[Key], fingers: Sequence[int | None], hand: Hand, stretch_mm: float
) -> tuple[str, ...]:
    """Why the hand cannot hold these keys at once with these fingers; empty when it can.

    One finger on two keys (unless neighbours under the thumb), fingers crossed, or a pair further
    apart than it reaches. ``fingers`` are parallel to ``keys``; None is any finger.
    """
    return tuple(_obstacles(keys, fingers, hand, stretch_mm))


def _obstacles(
    keys: Sequence[Key], fingers: Sequence[int | None], hand: Hand, stretch_mm: float
) -> Iterator[str]:
    taken = sorted((midi_of(key), finger) for key, finger in zip(keys, fingers, strict=True)
                   if finger is not None)  # fmt: skip
    if hand is Hand.LEFT:
        taken = [(mirrored(key), finger) for key, finger in reversed(taken)]
    for (low, first), (high, second) in combinations(taken, 2):
        if reason := _obstacle(low, first, high, second, stretch_mm):
            yield reason


def _obstacle(low: int, first: int, high: int, second: int, stretch_mm: float) -> str:
    one, other = sorted((first, second))
    if low == high:
        return f"fingers {one} and {other} on one key" if one != other else ""
    if one == other:
        alone = first != 1 or not thumb_takes_both(low, high)
        return f"finger {first} on two keys" if alone else ""
    if one != first:
        return f"fingers {one} and {other} crossed"
    span = signed_mm(low, high)
    if _reaches(held_reach_mm(first, second, stretch_mm), span):
        return ""
    most = reach(first, second, stretch_mm).max_prac
    return f"fingers {first} and {second} {span:.0f} mm apart, they reach {most:.0f} mm"


def can_hold(
    keys: Sequence[Key], fingers: Sequence[int | None], hand: Hand, stretch_mm: float
) -> bool:
    """Whether the hand can hold these keys at once with these fingers."""
    return not any(_obstacles(keys, fingers, hand, stretch_mm))
