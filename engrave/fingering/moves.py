"""What it costs to go from one grip to the next, and from a grip to the next but one.

Enters: grips and the time between them. Leaves: costs by rule. Published rules, counted in
millimetres; what moves the hand weighs more the less time there is.
"""

import math
from collections.abc import Iterable, Iterator
from functools import lru_cache

from engrave.fingering.costs import weight
from engrave.fingering.grips import Cost, Grip
from engrave.fingering.line import Step
from engrave.keyboard import SEMITONE_MM, WHITE_MM, is_black, reach, signed_mm

_EASE_SECONDS = 0.25
"""A sixteenth at quarter = 60: the time for which the weights are set."""
_REPLACED_SECONDS = 0.3
"""A silence as long as this halves what a move costs: the hand is lifted and set anew."""
_QUICK, _EASY = 0.15, 0.80
"""Seconds between repetitions of a key: at the first a change of finger is due, at the second
none is (about eight a second is the limit of one finger; from memory)."""

_REST_MM = 0.85 * WHITE_MM

FORBIDDEN = float("inf")


def pace(step: Step) -> float:
    """How much more than usual a move into ``step`` weighs: 0.2 to 1.6."""
    if step.seconds <= 0:
        return 1.0
    hurry = min(max(math.sqrt(_EASE_SECONDS / step.seconds), 0.5), 1.6)
    return hurry / (1 + step.silence / _REPLACED_SECONDS)


def skip_pace(middle: Step, last: Step) -> float:
    """How much more than usual it weighs that the hand has moved over two steps."""
    return min(pace(middle), pace(last))


@lru_cache(maxsize=262144)
def finger_costs(
    start: int, end: int, first: int, second: int, stretch_mm: float
) -> tuple[Cost, ...]:
    """What it costs that ``first`` takes one key and ``second`` the next, by rule."""
    if start == end:
        if first == second:
            return ()
        return (("repeat-change", weight("repeat-change")),)
    if first == second:
        return _hop(start, end)
    if first < second:
        low, high, span = first, second, signed_mm(start, end)
    else:
        low, high, span = second, first, signed_mm(end, start)
    limits = reach(low, high, stretch_mm)
    if span > 0:
        costs = [
            ("relaxed-span", max(min(span, limits.max_prac) - limits.max_rel, 0.0)),
            ("stretch", max(min(span, limits.max_prac) - limits.max_comf, 0.0)),
            ("leap", max(span - limits.max_prac, 0.0)),
            _cramped(low, high, span, limits.min_rel),
        ]
        return _priced((rule, mm / SEMITONE_MM) for rule, mm in costs)
    if low == 1:
        thumb, finger = (start, end) if first == 1 else (end, start)
        return _priced(_pass_costs(high, thumb, finger, span, limits.min_prac))
    return _priced((("crossing", 1.0), ("stretch", -span / SEMITONE_MM / 2)))


def _priced(amounts: Iterable[Cost]) -> tuple[Cost, ...]:
    return tuple((rule, amount * weight(rule)) for rule, amount in amounts if amount)


def _cramped(low: int, high: int, span: float, min_rel: float) -> Cost:
    """By how many mm two fingers are closer than they lie at rest.

    The table's least relaxed spans hold with the thumb; the long fingers rest a white key apart.
    """
    if low == 1:
        return "cramped-thumb", max(min_rel - span, 0.0)
    return "cramped-span", max((high - low) * _REST_MM - span, 0.0)


def _pass_costs(
    finger: int, thumb_key: int, finger_key: int, span: float, min_prac: float
) -> Iterator[Cost]:
    yield f"pass-{finger}", 1.0
    if is_black(thumb_key) == is_black(finger_key):
        yield "pass-level", 1.0
    elif is_black(thumb_key):
        yield "pass-to-black", 1.0
    yield "pass-size", -span / SEMITONE_MM
    yield "stretch", max(min_prac - span, 0.0) / SEMITONE_MM


def _hop(start: int, end: int) -> tuple[Cost, ...]:
    slide = is_black(start) and not is_black(end) and abs(end - start) == 1
    rule = "slide" if slide else "same-finger"
    size = abs(signed_mm(start, end)) / SEMITONE_MM
    return (rule, weight(rule)), ("leap", size * weight("leap"))


@lru_cache(maxsize=262144)
def position_costs(
    start: int, end: int, first: int, second: int, stretch_mm: float
) -> tuple[Cost, ...]:
    """What it costs that the hand has moved between an onset and the next but one, by rule."""
    if start == end:
        return () if first == second else (("key-change", weight("key-change")),)
    span, least, most = signed_mm(start, end), 0.0, 0.0
    if first < second:
        limits = reach(first, second, stretch_mm)
        least, most = limits.min_comf, limits.max_comf
    elif second < first:
        limits = reach(second, first, stretch_mm)
        least, most = -limits.max_comf, -limits.min_comf
    moved = max(span - most, least - span, 0.0) / SEMITONE_MM
    if moved <= 0:
        return ()
    return (
        ("position-change", weight("position-change") * min(moved, 1.0)),
        ("position-size", weight("position-size") * min(moved, 12.0)),
    )


def repeat_cost(seconds: float) -> float:
    """What it costs that one finger strikes a key again after so many seconds."""
    haste = (_EASY - seconds) / (_EASY - _QUICK)
    return weight("repeat") * min(max(haste, 0.0), 1.5)


def move_costs(before: Grip, after: Grip, step: Step, stretch_mm: float) -> list[Cost]:
    """What it costs to go from one grip to the next, by rule, at the step's pace."""
    share = pace(step) / (len(before.struck) * len(after.struck))
    costs = [
        (rule, amount * share)
        for start, first in before.struck
        for end, second in after.struck
        for rule, amount in finger_costs(*_low(start, end), first, second, stretch_mm)
    ]
    return costs + _own_costs(before, after, step)


def move_cost(before: Grip, after: Grip, step: Step, stretch_mm: float) -> float:
    """The sum of ``move_costs``."""
    cost = sum(
        _finger_cost(*_low(start, end), first, second, stretch_mm)
        for start, first in before.struck
        for end, second in after.struck
    )
    share = pace(step) / (len(before.struck) * len(after.struck))
    return cost * share + sum(amount for _, amount in _own_costs(before, after, step))


def skip_costs(before: Grip, after: Grip, factor: float, stretch_mm: float) -> list[Cost]:
    """What it costs to be at a grip two onsets after another, by rule."""
    share = factor / (len(before.struck) * len(after.struck))
    return [
        (rule, amount * share)
        for start, first in before.struck
        for end, second in after.struck
        for rule, amount in position_costs(*_low(start, end), first, second, stretch_mm)
    ]


def skip_cost(before: Grip, after: Grip, factor: float, stretch_mm: float) -> float:
    """The sum of ``skip_costs``."""
    cost = sum(
        _position_cost(*_low(start, end), first, second, stretch_mm)
        for start, first in before.struck
        for end, second in after.struck
    )
    return cost * factor / (len(before.struck) * len(after.struck))


def _low(start: int, end: int) -> tuple[int, int]:
    """The same two keys in the lowest octave: a move costs the same in every one."""
    octave = start - start % 12
    return start - octave, end - octave


@lru_cache(maxsize=65536)
def _finger_cost(start: int, end: int, first: int, second: int, stretch_mm: float) -> float:
    return sum(amount for _, amount in finger_costs(start, end, first, second, stretch_mm))


@lru_cache(maxsize=65536)
def _position_cost(start: int, end: int, first: int, second: int, stretch_mm: float) -> float:
    return sum(amount for _, amount in position_costs(start, end, first, second, stretch_mm))


def _own_costs(before: Grip, after: Grip, step: Step) -> list[Cost]:
    costs = _held_costs(before, after) if after.held else []
    if before.struck == after.struck and len(after.struck) == 1:
        costs.append(("repeat", repeat_cost(step.seconds)))
    return costs


def _held_costs(before: Grip, after: Grip) -> list[Cost]:
    down = dict(before.struck) | dict(before.held)
    costs: list[Cost] = []
    for key, finger in after.held:
        if key not in down:
            costs.append(("released", FORBIDDEN))
        elif down[key] != finger:
            costs.append(("substitution", weight("substitution")))
    return costs
