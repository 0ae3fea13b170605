"""What it costs to go from one grip to the next, and from a grip to the next but one.

Enters: grips and the time between them. Leaves: costs by rule. Published rules, counted in
millimetres; what moves the hand weighs more the less time there is.
"""

import math
from collections.abc import Iterator
from functools import lru_cache

from engrave.fingering.costs import FINGERING, Amount, Cost, Weights, priced, total
from engrave.fingering.customs import custom_amounts, is_of_custom
from engrave.fingering.grips import Grip
from engrave.fingering.hand import reach
from engrave.fingering.keyboard import SEMITONE_MM, WHITE_MM, is_black, signed_mm
from engrave.fingering.spans import semitones, span_amounts
from engrave.fingering.step import Step

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

    Nothing where the last repeats the middle one: how the hand came there was counted before. Nor
    where fingers have taken turns on the middle one: they leave the hand free to go on.
    """
    free = middle.struck == last.struck or bool(middle.due)
    return 0.0 if free else min(pace(middle), pace(last))


def finger_costs(
    start: int,
    end: int,
    first: int,
    second: int,
    stretch_mm: float,
    chords: bool,
    weights: Weights = FINGERING,
) -> tuple[Cost, ...]:
    """What it costs that ``first`` takes one key and ``second`` the next, by rule.

    ``chords``: both are parts of chords, between which the hand moves as one. Whatever would cost
    more than lifting the hand and setting it anew is done by lifting it, but for a finger that
    slides: lifted to the key beside, it would do the same.
    """
    joined = priced(joined_amounts(start, end, first, second, stretch_mm, chords), weights)
    if start == end or (first == second and not chords and slides(start, end)):
        return joined
    return min(joined, priced(lifted_amounts(start, end), weights), key=total)


def lifted_amounts(start: int, end: int) -> tuple[Amount, ...]:
    """The rules of a move for which the hand is lifted."""
    return (("lift", 1.0), ("lift-size", abs(signed_mm(start, end)) / SEMITONE_MM))


def joined_amounts(
    start: int, end: int, first: int, second: int, stretch_mm: float, chords: bool
) -> Iterator[Amount]:
    """The rules of a move without lifting the hand."""
    if start == end:
        if first != second:
            yield "repeat-inwards" if second < first else "repeat-outwards", 1.0
        return
    if first == second:
        yield from _hop(start, end, first, chords)
        return
    low, high = min(first, second), max(first, second)
    span = signed_mm(start, end) if first < second else signed_mm(end, start)
    if span <= 0 and low > 1:
        yield "crossing", 1.0
        yield "stretch", -span / SEMITONE_MM / 2
        return
    if span > 0:
        yield from span_amounts(low, high, span, stretch_mm)
    else:
        thumb, finger = (start, end) if first == 1 else (end, start)
        least = reach(low, high, stretch_mm).min_prac
        yield from _pass_amounts(high, thumb, finger, span, least, under=second == 1)
    yield f"pair-{low}{high}", 1.0
    if abs(end - start) <= 4:
        size = "second" if abs(end - start) <= 2 else "third"
        yield f"{size}{'-passed' if span <= 0 else ''}-{low}{high}", 1.0
    if is_black(start) != is_black(end):
        black, white = (first, second) if is_black(start) else (second, first)
        yield f"black-white-{black}{white}", 1.0


def _pass_amounts(
    finger: int, thumb_key: int, finger_key: int, span: float, min_prac: float, under: bool
) -> Iterator[Amount]:
    yield f"pass-{'under' if under else 'over'}-{finger}", min(-span / WHITE_MM, 1.0)
    if is_black(thumb_key) == is_black(finger_key):
        yield "pass-level", 1.0
    elif is_black(thumb_key):
        yield "pass-to-black", 1.0
    yield "pass-size", -span / SEMITONE_MM
    yield "pass-stretch", semitones(min_prac - span)


def _hop(start: int, end: int, finger: int, chords: bool) -> Iterator[Amount]:
    if chords:
        yield "shift", 1.0
    elif slides(start, end):
        yield "slide", 1.0
    else:
        yield f"same-finger-{finger}", 1.0
    yield "same-finger-size", abs(signed_mm(start, end)) / SEMITONE_MM


def slides(start: int, end: int) -> bool:
    """Whether one finger can slide from key to key: from a black one to a neighbour."""
    return is_black(start) and not is_black(end) and abs(end - start) == 1


def position_costs(
    start: int,
    end: int,
    first: int,
    second: int,
    stretch_mm: float,
    weights: Weights = FINGERING,
) -> tuple[Cost, ...]:
    """What it costs that the hand has moved between an onset and the next but one, by rule."""
    return priced(position_amounts(start, end, first, second, stretch_mm), weights)


def position_amounts(
    start: int, end: int, first: int, second: int, stretch_mm: float
) -> Iterator[Amount]:
    """The rules that two fingers meet which take keys two onsets apart."""
    if start == end:
        if first != second:
            yield "key-change", 1.0
        return
    span, least, most = signed_mm(start, end), -WHITE_MM, WHITE_MM
    if first < second:
        limits = reach(first, second, stretch_mm)
        least, most = limits.min_comf, limits.max_comf
    elif second < first:
        limits = reach(second, first, stretch_mm)
        least, most = -limits.max_comf, -limits.min_comf
    moved = semitones(max(span - most, least - span))
    yield "position-change", min(moved, 1.0)
    yield "position-size", min(moved, 12.0)
    apart = abs(end - start)
    if apart in (3, 4) or apart in (7, 8, 9):
        low, high = (first, second) if start < end else (second, first)
        yield f"{'third' if apart < 5 else 'fifth'}-after-two-{low}{high}", 1.0
    outwards = span if first <= second else -span
    off_rest = outwards - abs(second - first) * WHITE_MM
    wide, narrow = min(semitones(off_rest), 8.0), min(semitones(-off_rest), 8.0)
    if 1 in (first, second):
        yield "open-thumb", wide
        yield "closed-thumb", narrow
        return
    yield "open-long", wide
    yield "closed-long", narrow
    if first != second:
        yield "closed-hand", semitones(abs(second - first) * WHITE_MM - max(outwards, 0.0))


def _haste(seconds: float) -> float:
    """How much of a quick repetition it is that a key comes again after so many seconds."""
    haste = (_EASY - seconds) / (_EASY - _QUICK)
    return min(max(haste, 0.0), 1.5)


def move_costs(before: Grip, after: Grip, step: Step, stretch_mm: float) -> list[Cost]:
    """What it costs to go from one grip to the next, by rule, at the step's pace."""
    share = pace(step) / (len(before.struck) * len(after.struck))
    chords = len(before.struck) > 1 and len(after.struck) > 1
    costs = [
        (rule, amount * share)
        for start, first in before.struck
        for end, second in after.struck
        for rule, amount in finger_costs(*lowest(start, end), first, second, stretch_mm, chords)
    ]
    return [*costs, *priced(whole_amounts(before, after, step))]


def move_cost(
    before: Grip, after: Grip, step: Step, stretch_mm: float, weights: Weights = FINGERING
) -> float:
    """The sum of ``move_costs``."""
    chords = len(before.struck) > 1 and len(after.struck) > 1
    cost = 0.0
    for start, first in before.struck:
        for end, second in after.struck:
            keys = lowest(start, end)
            cost += _finger_cost(*keys, first, second, stretch_mm, chords, weights)
    share = pace(step) / (len(before.struck) * len(after.struck))
    again = before.struck == after.struck or _strikes_again(before, after)
    if again or after.held or is_of_custom(before, after, step):
        return cost * share + total(priced(whole_amounts(before, after, step), weights))
    return cost * share


def skip_costs(before: Grip, after: Grip, factor: float, stretch_mm: float) -> list[Cost]:
    """What it costs to be at a grip two onsets after another, by rule."""
    share = factor / (len(before.struck) * len(after.struck))
    return [
        (rule, amount * share)
        for start, first in before.struck
        for end, second in after.struck
        for rule, amount in position_costs(*lowest(start, end), first, second, stretch_mm)
    ]


def skip_cost(
    before: Grip, after: Grip, factor: float, stretch_mm: float, weights: Weights = FINGERING
) -> float:
    """The sum of ``skip_costs``."""
    cost = 0.0
    for start, first in before.struck:
        for end, second in after.struck:
            cost += _position_cost(*lowest(start, end), first, second, stretch_mm, weights)
    return cost * factor / (len(before.struck) * len(after.struck))


def lowest(start: int, end: int) -> tuple[int, int]:
    """The same two keys in the lowest octave: a move costs the same in every one."""
    octave = start - start % 12
    return start - octave, end - octave


@lru_cache(maxsize=65536)
def _finger_cost(
    start: int,
    end: int,
    first: int,
    second: int,
    stretch_mm: float,
    chords: bool,
    weights: Weights,
) -> float:
    return total(finger_costs(start, end, first, second, stretch_mm, chords, weights))


@lru_cache(maxsize=65536)
def _position_cost(
    start: int, end: int, first: int, second: int, stretch_mm: float, weights: Weights
) -> float:
    return total(position_costs(start, end, first, second, stretch_mm, weights))


def whole_amounts(before: Grip, after: Grip, step: Step) -> Iterator[Amount]:
    """The rules that a move meets as a whole: held keys, keys struck again, what custom has."""
    if after.held:
        down = dict(before.struck) | dict(before.held)
        for key, finger in after.held:
            if key not in down:
                yield "released", FORBIDDEN
            elif down[key] != finger:
                yield "substitution", 1.0
    if before.struck == after.struck and len(after.struck) == 1:
        yield "repeat", _haste(step.seconds)
    elif _strikes_again(before, after) and before.fingers != after.fingers:
        yield "chord-again", 1.0
    yield from custom_amounts(before, after, step)


def _strikes_again(before: Grip, after: Grip) -> bool:
    """Whether both are the same chord, whatever its fingers."""
    if len(before.struck) != len(after.struck) or len(after.struck) == 1:
        return False
    return all(a[0] == b[0] for a, b in zip(before.struck, after.struck, strict=True))
