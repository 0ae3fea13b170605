"""Which keys a hand can hold at once.

Enters: keys as MIDI numbers, a hand's stretch. Leaves: whether they lie in one hand, how far they
are beyond it, what must be let go for others. Knows nothing of time.
"""

from functools import lru_cache

from engrave.fingering.hand import can_hold, hand_span_mm, orders
from engrave.fingering.keyboard import centre_mm, mirrored
from engrave.music.notes import Hand

MM = tuple(centre_mm(key) for key in range(128))
"""Where each key lies, in millimetres."""


@lru_cache(maxsize=65536)
def holds(keys: tuple[int, ...], hand: Hand, stretch_mm: float) -> bool:
    """Whether the hand can hold these keys, low to high, with some fingers."""
    if hand is Hand.LEFT:
        keys = tuple(map(mirrored, reversed(keys)))
    return any(can_hold(keys, fingers, Hand.RIGHT, stretch_mm) for fingers in orders(keys))


def excess_mm(keys: tuple[int, ...], stretch_mm: float) -> float:
    """How far the outer keys lie beyond the hand's span."""
    return max(MM[keys[-1]] - MM[keys[0]] - hand_span_mm(stretch_mm), 0.0) if keys else 0.0


def let_go(
    keys: tuple[int, ...], held: tuple[int, ...], hand: Hand, stretch_mm: float
) -> tuple[int, ...]:
    """The held keys that the hand cannot keep while it strikes these; the farthest go first."""
    kept = sorted({*held} - {*keys}, key=lambda key: (_distance(key, keys), key))
    gone = []
    while kept and not holds(tuple(sorted((*kept, *keys))), hand, stretch_mm):
        gone.append(kept.pop())
    return tuple(gone)


def _distance(key: int, keys: tuple[int, ...]) -> int:
    return max(abs(key - keys[0]), abs(key - keys[-1]))
