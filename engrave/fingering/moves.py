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
_REMEMBERED = 65536
"""So many costs of two fingers are kept for when they are asked for again."""


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
        if second < first:
            yield "repeat-inwards", 1.0
        elif second > first:
            yield "repeat-outwards", 1.0
        return
    if first == second:
        yield from _hop(start, end, first, chords)
        return
    (low, low_key), (high, high_key) = sorted(((first, start), (second, end)))
    span = signed_mm(low_key, high_key)
    in_order = low_key == min(start, end)
    if in_order:
        yield from span_amounts(low, high, span, stretch_mm)
    elif low == 1:
        least = reach(low, high, stretch_mm).min_prac
        yield from _pass_amounts(high, low_key, high_key, span, least, under=second == 1)
    else:
        yield "crossing", 1.0
        yield "stretch", -span / SEMITONE_MM / 2
        return
    yield f"pair-{low}{high}", 1.0
    if abs(end - start) <= 4:
        size = "second" if abs(end - start) <= 2 else "third"
        yield f"{size}{'' if in_order else '-passed'}-{low}{high}", 1.0
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
    low, high = sorted((first, second))
    outwards = signed_mm(start, end) if first == low else signed_mm(end, start)
    least, most = -WHITE_MM, WHITE_MM
    if low != high:
        limits = reach(low, high, stretch_mm)
        least, most = limits.min_comf, limits.max_comf
    moved = semitones(max(outwards - most, least - outwards))
    yield "position-change", min(moved, 1.0)
    yield "position-size", min(moved, 12.0)
    apart = abs(end - start)
    size = "third" if apart in (3, 4) else "fifth" if apart in (7, 8, 9) else None
    if size:
        (_, lower), (_, upper) = sorted(((start, first), (end, second)))
        yield f"{size}-after-two-{lower}{upper}", 1.0
    rest = (high - low) * WHITE_MM
    wide, narrow = min(semitones(outwards - rest), 8.0), min(semitones(rest - outwards), 8.0)
    if low == 1:
        yield "open-thumb", wide
        yield "closed-thumb", narrow
        return
    yield "open-long", wide
    yield "closed-long", narrow
    if low != high:
        yield "closed-hand", semitones(rest - max(outwards, 0.0))


def _haste(seconds: float) -> float:
    """How much of a quick repetition it is that a key comes again after so many seconds."""
    return max((_EASY - seconds) / (_EASY - _QUICK), 0.0)


def move_costs(before: Grip, after: Grip, step: Step, stretch_mm: float) -> list[Cost]:
    """What it costs to go from one grip to the next, by rule, at the step's pace."""
    share = pace(step) / (len(before.struck) * len(after.struck))
    chords = _are_chords(before, after)
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
    chords = _are_chords(before, after)
    cost = 0.0
    for start, first in before.struck:
        for end, second in after.struck:
            keys = lowest(start, end)
            cost += _finger_cost(*keys, first, second, stretch_mm, chords, weights)
    share = pace(step) / (len(before.struck) * len(after.struck))
    if _strikes_again(before, after) or after.held or is_of_custom(before, after, step):
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
    octave = start // 12 * 12
    return start - octave, end - octave


@lru_cache(_REMEMBERED)
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


@lru_cache(_REMEMBERED)
def _position_cost(
    start: int, end: int, first: int, second: int, stretch_mm: float, weights: Weights
) -> float:
    return total(position_costs(start, end, first, second, stretch_mm, weights))


def whole_amounts(before: Grip, after: Grip, step: Step) -> Iterator[Amount]:
    """The rules that a move meets as a whole: held keys, keys struck again, what custom has."""
    for key, finger in after.held:
        down = dict((*before.struck, *before.held))
        if key not in down:
            yield "released", FORBIDDEN
        elif down[key] != finger:
            yield "substitution", 1.0
    if _strikes_again(before, after):
        single, changed = len(after.struck) == 1, before.fingers != after.fingers
        if single and not changed:
            yield "repeat", _haste(step.seconds)
        if changed and not single:
            yield "chord-again", 1.0
    yield from custom_amounts(before, after, step)


def _are_chords(before: Grip, after: Grip) -> bool:
    """Whether the hand moves from chord to chord."""
    return min(len(before.struck), len(after.struck)) > 1


def _strikes_again(before: Grip, after: Grip) -> bool:
    """Whether both strike the same keys, whatever their fingers."""
    return [key for key, _ in before.struck] == [key for key, _ in after.struck]
