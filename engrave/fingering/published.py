"""The twelve rules of 1997 as they were published, unit weights, for single lines.

Enters: keys of a melody for the right hand. Leaves: the cheapest fingerings and their cost.

Parncutt, Sloboda, Clarke, Raekallio and Desain 1997, "An ergonomic model of keyboard fingering for
melodic fragments", Music Perception 14. Spans are counted in semitones, as there.
"""

from collections.abc import Callable, Sequence

from engrave.fingering.hand import SPANS
from engrave.fingering.keyboard import is_black

FINGERS = (1, 2, 3, 4, 5)
Rule = Callable[[Sequence[int], Sequence[int]], int]


def fingerings(
    keys: Sequence[int], fixed: Sequence[int | None]
) -> tuple[tuple[tuple[int, ...], ...], int]:
    """The cheapest fingerings, all of them, and their cost.

    ``fixed`` holds the fingers that must stay, parallel to ``keys``. Only what the practical spans
    allow is considered; where nothing is left there are no fingerings.
    """
    paths: list[tuple[int, tuple[int, ...]]] = [(0, ())]
    for number, key in enumerate(keys):
        wanted = fixed[number]
        longer = [
            (cost + _added(keys, (*fingers, finger)), (*fingers, finger))
            for cost, fingers in paths
            for finger in (FINGERS if wanted is None else (wanted,))
            if not number or practical(keys[number - 1], fingers[-1], key, finger)
        ]
        paths = _kept(longer)
    if not paths:
        return (), 0
    least = min(cost for cost, _ in paths)
    return tuple(path for cost, path in sorted(paths) if cost == least), least


def _kept(paths: list[tuple[int, tuple[int, ...]]]) -> list[tuple[int, tuple[int, ...]]]:
    """The paths that may still be among the best: what follows depends on two fingers alone."""
    least: dict[tuple[int, ...], int] = {}
    for cost, fingers in sorted(paths):
        least.setdefault(fingers[-2:], cost)
    return [(cost, fingers) for cost, fingers in paths if cost == least[fingers[-2:]]]


def _added(keys: Sequence[int], fingers: Sequence[int]) -> int:
    """What the last finger adds: the rules whose window ends with it."""
    end = len(fingers)
    return sum(
        rule(keys[end - size : end], fingers[-size:])
        for size, rule in RULES.values()
        if end >= size
    )


def limits(first: int, second: int) -> tuple[int, ...]:
    """The six spans from one finger to another, as the interval from note to note."""
    if first == second:
        return (0,) * 6
    if (first, second) in SPANS:
        return SPANS[first, second]
    return tuple(-span for span in reversed(SPANS[second, first]))


def practical(start: int, first: int, end: int, second: int) -> bool:
    """Whether two fingers can take two notes one after the other at all."""
    least, *_, most = limits(first, second)
    return least <= end - start <= most


def _beyond(keys: Sequence[int], fingers: Sequence[int]) -> int:
    """Semitones between the outer notes beyond what their fingers span in comfort."""
    _, least, _, _, most, _ = limits(fingers[0], fingers[-1])
    span = keys[-1] - keys[0]
    return max(span - most, least - span, 0)


def _span_share(fingers: Sequence[int]) -> int:
    return 1 if 1 in fingers else 2


def _stretch(keys: Sequence[int], fingers: Sequence[int]) -> int:
    return 2 * _beyond(keys, fingers)


def _turned(keys: Sequence[int], fingers: Sequence[int]) -> tuple[int, int, int]:
    """The interval upwards from the lower finger, and its least and most relaxed span."""
    (lower, start), (upper, end) = sorted(zip(fingers, keys, strict=True))
    _, _, least, most, _, _ = limits(lower, upper)
    return end - start, least, most


def _small_span(keys: Sequence[int], fingers: Sequence[int]) -> int:
    span, least, _ = _turned(keys, fingers)
    return _span_share(fingers) * max(least - span, 0)


def _large_span(keys: Sequence[int], fingers: Sequence[int]) -> int:
    span, _, most = _turned(keys, fingers)
    return _span_share(fingers) * max(span - most, 0)


def _position_change_count(keys: Sequence[int], fingers: Sequence[int]) -> int:
    if not _beyond(keys, fingers):
        return 0
    between = min(keys[0], keys[2]) < keys[1] < max(keys[0], keys[2])
    full = fingers[1] == 1 and between and not practical(keys[0], fingers[0], keys[2], fingers[2])
    return 2 if full else 1


def _weak_finger(keys: Sequence[int], fingers: Sequence[int]) -> int:
    (finger,) = fingers
    return int(finger >= 4)


def _three_four_five(keys: Sequence[int], fingers: Sequence[int]) -> int:
    return int(set(fingers) == {3, 4, 5})


def _three_to_four(keys: Sequence[int], fingers: Sequence[int]) -> int:
    return int(tuple(fingers) == (3, 4))


def _four_on_black(keys: Sequence[int], fingers: Sequence[int]) -> int:
    blacks = {finger: is_black(key) for key, finger in zip(keys, fingers, strict=True)}
    return int(blacks == {3: False, 4: True})


def _thumb_on_black(keys: Sequence[int], fingers: Sequence[int]) -> int:
    (key,), (finger,) = keys, fingers
    return int(finger == 1 and is_black(key))


def _beside_white(finger: int) -> Rule:
    """2 for each white neighbour of a black key that ``finger`` takes."""

    def rule(keys: Sequence[int], fingers: Sequence[int]) -> int:
        pairs = (0, 1), (1, 0)
        return sum(
            2
            for here, there in pairs
            if fingers[here] == finger and is_black(keys[here]) and not is_black(keys[there])
        )

    return rule


def _thumb_passing(keys: Sequence[int], fingers: Sequence[int]) -> int:
    span, *_ = _turned(keys, fingers)
    if 1 not in fingers or span >= 0:
        return 0
    thumb = fingers.index(1)
    thumb_black, finger_black = is_black(keys[thumb]), is_black(keys[1 - thumb])
    if thumb_black == finger_black:
        return 1
    return 3 if thumb_black else 0


RULES: dict[str, tuple[int, Rule]] = {
    "stretch": (2, _stretch),
    "small-span": (2, _small_span),
    "large-span": (2, _large_span),
    "position-change-count": (3, _position_change_count),
    "position-change-size": (3, _beyond),
    "weak-finger": (1, _weak_finger),
    "three-four-five": (3, _three_four_five),
    "three-to-four": (2, _three_to_four),
    "four-on-black": (2, _four_on_black),
    "thumb-on-black": (1, _thumb_on_black),
    "thumb-on-black, white beside it": (2, _beside_white(1)),
    "five-on-black, white beside it": (2, _beside_white(5)),
    "thumb-passing": (2, _thumb_passing),
}
"""The twelve rules (the tenth in two lines): how many notes each looks at, and what it charges."""
