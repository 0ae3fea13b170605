"""How far the keys just before and just after reach beyond a key: outer keys take outer fingers.

Enters: steps, grips. Leaves: amounts by rule, and what they cost. The moves look two onsets back;
a hand that sets itself anew looks ahead.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from engrave.fingering.costs import FINGERING, Amount, priced, total
from engrave.fingering.grips import Grip
from engrave.fingering.step import Step

SEEN = 4
"""How many onsets on either side are looked at."""
_FAR = 12
"""Semitones: what lies further counts no more."""

Reached = tuple[int, int]
"""The lowest and the highest key of some onsets."""


def around(steps: Sequence[Step], now: int) -> tuple[Reached | None, Reached | None]:
    """What the onsets before a step, and those after it, reach; None where there are none."""
    return _reached(steps[max(now - SEEN, 0) : now]), _reached(steps[now + 1 : now + 1 + SEEN])


def _reached(steps: Sequence[Step]) -> Reached | None:
    if not steps:
        return None
    return min(step.struck[0] for step in steps), max(step.struck[-1] for step in steps)


def around_amounts(grip: Grip, before: Reached | None, after: Reached | None) -> Iterator[Amount]:
    """The rules that a grip meets for what lies around it: for each key its share of an octave."""
    for key, finger in grip.struck:
        for rule, amount in _key_amounts(finger, *_off(key, before), *_off(key, after)):
            yield rule, amount / len(grip.struck)


def _off(key: int, reached: Reached | None) -> tuple[int, int]:
    """How far others reach above a key, and below it, in semitones up to an octave."""
    low, high = reached or (key, key)
    return min(max(high - key, 0), _FAR), min(max(key - low, 0), _FAR)


def _key_amounts(finger: int, *off: int) -> Iterator[Amount]:
    for side, semitones in zip(_SIDES, off, strict=True):
        if semitones:
            yield f"{side}-{finger}", semitones / _FAR


_SIDES = ("outside-before", "inside-before", "outside-after", "inside-after")


@lru_cache(maxsize=65536)
def _key_costs(key: int, before: Reached | None, after: Reached | None) -> tuple[float, ...]:
    """What each finger, from the thumb, costs on a key with others around."""
    off = *_off(key, before), *_off(key, after)
    return tuple(total(priced(_key_amounts(finger, *off), FINGERING)) for finger in range(1, 6))


def around_costs(steps: Sequence[Step], now: int, grips: Sequence[Grip]) -> list[float]:
    """What every grip of a step costs for what lies around it."""
    before, after = around(steps, now)
    costs = [_key_costs(key, before, after) for key in steps[now].struck]
    return [
        sum(by_finger[finger - 1] for by_finger, finger in zip(costs, grip.fingers, strict=True))
        / len(costs)
        for grip in grips
    ]
