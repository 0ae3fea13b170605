"""What it costs to go from one grip to the next, and from a grip to the next but one.

Enters: grips and the time between them. Leaves: costs by rule. Published rules, counted in
millimetres; what moves the hand weighs more the less time there is.
"""

import math
from collections.abc import Iterator
from functools import lru_cache

from engrave.fingering.costs import weight
from engrave.fingering.grips import Grip
from engrave.fingering.keyboard import SEMITONE_MM, WHITE_MM, is_black, reach, signed_mm
from engrave.fingering.line import Step
from engrave.fingering.spans import Cost, priced, span_amounts, total

_EASE_SECONDS = 0.25
"""A sixteenth at quarter = 60: the time for which the weights are set."""
_REPLACED_SECONDS = 0.3
"""A silence as long as this halves what a move costs: the hand is lifted and set anew."""
_QUICK, _EASY = 0.15, 0.80
"""Seconds between repetitions of a key: at the first a change of finger is due, at the second
none is (about eight a second is the limit of one finger; from memory)."""

FORBIDDEN = float("inf")


def pace(step: Step) -> float:
    """How much more than usual a move into ``step`` weighs: 0.2 to 1.6."""
    if step.seconds <= 0:
        return 1.0
    hurry = min(max(math.sqrt(_EASE_SECONDS / step.seconds), 0.5), 1.6)
    return hurry / (1 + step.silence / _REPLACED_SECONDS)


def skip_pace(middle: Step, last: Step) -> float:
    """How much more than usual it weighs that the hand has moved over two steps.

    Nothing where the last repeats the middle one: how the hand came there was counted before.
    """
    return 0.0 if middle.struck == last.struck else min(pace(middle), pace(last))


def finger_costs(
    start: int, end: int, first: int, second: int, stretch_mm: float, chords: bool
) -> tuple[Cost, ...]:
    """What it costs that ``first`` takes one key and ``second`` the next, by rule.

    ``chords``: both are parts of chords, between which the hand moves as one. Whatever would cost
    more than lifting the hand and setting it anew is done by lifting it.
    """
    if start == end:
        return () if first == second else priced(((_repetition(first, second), 1.0),))
    joined = _joined_costs(start, end, first, second, stretch_mm, chords)
    lifted = priced((("lift", 1.0), ("lift-size", abs(signed_mm(start, end)) / SEMITONE_MM)))
    return min(joined, lifted, key=total)


def _repetition(first: int, second: int) -> str:
    return "repeat-inwards" if second < first else "repeat-outwards"


def _joined_costs(
    start: int, end: int, first: int, second: int, stretch_mm: float, chords: bool
) -> tuple[Cost, ...]:
    if first == second:
        return _hop(start, end, chords)
    if first < second:
        low, high, span = first, second, signed_mm(start, end)
    else:
        low, high, span = second, first, signed_mm(end, start)
    if span > 0:
        return priced(span_amounts(low, high, span, stretch_mm))
    if low == 1:
        thumb, finger = (start, end) if first == 1 else (end, start)
        least = reach(low, high, stretch_mm).min_prac
        return priced(_pass_costs(high, thumb, finger, span, least))
    return priced((("crossing", 1.0), ("stretch", -span / SEMITONE_MM / 2)))


def _pass_costs(
    finger: int, thumb_key: int, finger_key: int, span: float, min_prac: float
) -> Iterator[Cost]:
    yield f"pass-{finger}", min(-span / WHITE_MM, 1.0)
    if is_black(thumb_key) == is_black(finger_key):
        yield "pass-level", 1.0
    elif is_black(thumb_key):
        yield "pass-to-black", 1.0
    yield "pass-size", -span / SEMITONE_MM
    yield "stretch", max(min_prac - span, 0.0) / SEMITONE_MM


def _hop(start: int, end: int, chords: bool) -> tuple[Cost, ...]:
    slide = is_black(start) and not is_black(end) and abs(end - start) == 1
    rule = "shift" if chords else "slide" if slide else "same-finger"
    size = abs(signed_mm(start, end)) / SEMITONE_MM
    return priced(((rule, 1.0), ("leap", size)))


def position_costs(
    start: int, end: int, first: int, second: int, stretch_mm: float
) -> tuple[Cost, ...]:
    """What it costs that the hand has moved between an onset and the next but one, by rule."""
    if start == end:
        return () if first == second else priced((("key-change", 1.0),))
    span, least, most = signed_mm(start, end), -WHITE_MM, WHITE_MM
    if first < second:
        limits = reach(first, second, stretch_mm)
        least, most = limits.min_comf, limits.max_comf
    elif second < first:
        limits = reach(second, first, stretch_mm)
        least, most = -limits.max_comf, -limits.min_comf
    moved = max(span - most, least - span, 0.0) / SEMITONE_MM
    closed = 0.0
    if 1 not in (first, second) and first != second:
        outwards = span if first < second else -span
        closed = max(abs(second - first) * WHITE_MM - max(outwards, 0.0), 0.0) / SEMITONE_MM
    amounts = (
        ("position-change", min(moved, 1.0)),
        ("position-size", min(moved, 12.0)),
        ("closed-hand", closed),
    )
    return priced(amounts)


def repeat_cost(seconds: float) -> float:
    """What it costs that one finger strikes a key again after so many seconds."""
    haste = (_EASY - seconds) / (_EASY - _QUICK)
    return weight("repeat") * min(max(haste, 0.0), 1.5)


def move_costs(before: Grip, after: Grip, step: Step, stretch_mm: float) -> list[Cost]:
    """What it costs to go from one grip to the next, by rule, at the step's pace."""
    share = pace(step) / (len(before.struck) * len(after.struck))
    chords = len(before.struck) > 1 and len(after.struck) > 1
    costs = [
        (rule, amount * share)
        for start, first in before.struck
        for end, second in after.struck
        for rule, amount in finger_costs(*_low(start, end), first, second, stretch_mm, chords)
    ]
    return costs + _own_costs(before, after, step)


def move_cost(before: Grip, after: Grip, step: Step, stretch_mm: float) -> float:
    """The sum of ``move_costs``."""
    chords = len(before.struck) > 1 and len(after.struck) > 1
    cost = sum(
        _finger_cost(*_low(start, end), first, second, stretch_mm, chords)
        for start, first in before.struck
        for end, second in after.struck
    )
    share = pace(step) / (len(before.struck) * len(after.struck))
    return cost * share + total(_own_costs(before, after, step))


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
def _finger_cost(
    start: int, end: int, first: int, second: int, stretch_mm: float, chords: bool
) -> float:
    return total(finger_costs(start, end, first, second, stretch_mm, chords))


@lru_cache(maxsize=65536)
def _position_cost(start: int, end: int, first: int, second: int, stretch_mm: float) -> float:
    return total(position_costs(start, end, first, second, stretch_mm))


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
