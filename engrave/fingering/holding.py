"""Which keys a hand can hold at once.

Enters: keys as MIDI numbers, a hand's stretch. Leaves: whether they lie in one hand, how far they
are beyond it, what must be let go for others. Knows nothing of time.
"""

from collections.abc import Iterable
from functools import lru_cache
from itertools import combinations

from engrave.fingering.hand import can_hold, hand_span_mm, thumb_takes_both
from engrave.fingering.keyboard import centre_mm
from engrave.music.notes import Hand

MM = tuple(centre_mm(key) for key in range(128))
"""Where each key lies, in millimetres."""


@lru_cache(maxsize=65536)
def holds(keys: tuple[int, ...], hand: Hand, stretch_mm: float) -> bool:
    """Whether the hand can hold these keys, low to high, with some fingers."""
    if len(keys) < 2:
        return True
    if MM[keys[-1]] - MM[keys[0]] > hand_span_mm(stretch_mm) + 1e-6 or len(keys) > 6:
        return False
    return any(can_hold(keys, fingers, hand, stretch_mm) for fingers in _fingerings(keys, hand))


def _fingerings(keys: tuple[int, ...], hand: Hand) -> Iterable[tuple[int, ...]]:
    """Fingers in the order of the keys; the thumb may take two neighbours."""
    count, step = len(keys), 1 if hand is Hand.RIGHT else -1
    if count <= 5:
        yield from (taken[::step] for taken in combinations(range(1, 6), count))
    thumb = keys[:2] if hand is Hand.RIGHT else keys[-2:]
    if 2 < count <= 6 and thumb_takes_both(*thumb):
        yield from ((1, 1, *rest)[::step] for rest in combinations(range(2, 6), count - 2))


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
