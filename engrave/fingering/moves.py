"""What it costs to go from one grip to the next, and from a grip to the next but one.

Enters: grips and the time between them. Leaves: costs by rule. Published rules, counted in
millimetres; what moves the hand weighs more the less time there is.
"""

import math
from functools import lru_cache

from engrave.fingering.costs import weight
from engrave.fingering.grips import Cost, Grip
from engrave.fingering.line import Step
from engrave.keyboard import SEMITONE_MM, is_black, reach, signed_mm

_EASE_SECONDS = 0.25
"""A sixteenth at quarter = 60: the time for which the weights are set."""
_REPLACED_SECONDS = 0.3
"""A silence as long as this halves what a move costs: the hand is lifted and set anew."""
_QUICK, _EASY = 0.12, 0.40
"""Seconds between repetitions of a key: at the first a change of finger is due, at the second
none is (about eight a second is the limit of one finger; from memory)."""

FORBIDDEN = float("inf")


def pace(step: Step) -> float:
    """How much more than usual a move into ``step`` weighs: 0.2 to 1.6."""
    if step.seconds <= 0:
        return 1.0
    hurry = min(max(math.sqrt(_EASE_SECONDS / step.seconds), 0.5), 1.6)
    return hurry / (1 + step.silence / _REPLACED_SECONDS)


@lru_cache(maxsize=262144)
def finger_costs(
    start: int, first: int, end: int, second: int, stretch_mm: float
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
    semitones = span / SEMITONE_MM
    if span > 0:
        costs = [
            ("relaxed-span", max(min(span, limits.max_prac) - limits.max_rel, 0.0) / SEMITONE_MM),
            ("cramped-span", max(limits.min_rel - span, 0.0) / SEMITONE_MM),
            ("stretch", max(min(span, limits.max_prac) - limits.max_comf, 0.0) / SEMITONE_MM),
            ("leap", max(span - limits.max_prac, 0.0) / SEMITONE_MM),
        ]
    elif low == 1:
        thumb, finger = (start, end) if first == 1 else (end, start)
        costs = [
            ("thumb-pass", _pass(high, thumb, finger)),
            ("thumb-pass-size", max(-semitones - 2, 0.0)),
            ("stretch", max(limits.min_prac - span, 0.0) / SEMITONE_MM),
            ("thumb-under-white", float(is_black(thumb) and not is_black(finger))),
        ]
    else:
        costs = [("crossing", 1.0), ("stretch", -semitones / 2)]
    return tuple((rule, amount * weight(rule)) for rule, amount in costs if amount)


def _hop(start: int, end: int) -> tuple[Cost, ...]:
    slide = is_black(start) and not is_black(end) and abs(end - start) == 1
    rule = "slide" if slide else "same-finger"
    size = abs(signed_mm(start, end)) / SEMITONE_MM
    return (rule, weight(rule)), ("leap", size * weight("leap"))


def _pass(finger: int, thumb_key: int, finger_key: int) -> float:
    ease = {2: 1.0, 3: 0.8, 4: 1.1, 5: 3.0}[finger]
    return ease * (0.6 if is_black(finger_key) and not is_black(thumb_key) else 1.0)


@lru_cache(maxsize=262144)
def position_costs(
    start: int, first: int, end: int, second: int, stretch_mm: float
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
    costs = _averaged(before, after, finger_costs, pace(step), stretch_mm)
    again = set(before.struck) & set(after.struck)
    if again:
        costs.append(("repeat", repeat_cost(step.seconds)))
    return costs + _held_costs(before, after)


def skip_costs(before: Grip, after: Grip, factor: float, stretch_mm: float) -> list[Cost]:
    """What it costs to be at a grip two onsets after another, by rule."""
    return _averaged(before, after, position_costs, factor, stretch_mm)


def _averaged(before: Grip, after: Grip, rule_of, factor: float, stretch_mm: float) -> list[Cost]:  # type: ignore[no-untyped-def]
    share = factor / (len(before.struck) * len(after.struck))
    return [
        (rule, amount * share)
        for start, first in before.struck
        for end, second in after.struck
        for rule, amount in rule_of(start, first, end, second, stretch_mm)
    ]


def _held_costs(before: Grip, after: Grip) -> list[Cost]:
    down = dict(before.struck) | dict(before.held)
    costs: list[Cost] = []
    for key, finger in after.held:
        if key not in down:
            costs.append(("released", FORBIDDEN))
        elif down[key] != finger:
            costs.append(("substitution", weight("substitution")))
    return costs
