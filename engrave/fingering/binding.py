"""What binds whatever the model: rules that are broken only where nothing else is left.

Enters: steps, the hand's stretch, and grips. Leaves: what they cost, and which are broken where.
Knows no learned weights.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations

from engrave.fingering.costs import FINGERING
from engrave.fingering.grips import Grip, left_by
from engrave.fingering.hand import ROUNDING_MM, can_hold, held_reach_mm, in_hand, reach
from engrave.fingering.keyboard import is_black, signed_mm
from engrave.fingering.moves import slides
from engrave.fingering.step import Step
from engrave.music.notes import Hand

WIDE_PASS = 7
"""Semitones: the thumb of no handbook arpeggio goes under by more than a fourth."""
NEXT_KEYS = 4
"""Semitones within which one long finger would cross another; further, the hand is set anew."""
_BASS_WHITE, _BASS_BLACK, _TOP = frozenset({5}), frozenset({4, 5}), frozenset({5})


def is_line(before: Step, after: Step) -> bool:
    """Whether single notes are joined here, and nothing else is held."""
    return _is_single(before, after) and not before.held and not after.held


def is_beside(before: Step, after: Step) -> bool:
    """Whether single notes are joined here, quickly, over or under one that is held."""
    return _is_single(before, after) and after.quick and bool(before.held and after.held)


def _is_single(before: Step, after: Step) -> bool:
    return len(before.struck) == len(after.struck) == 1 and after.joined


def move_breaks(before: Grip, after: Grip, quick: bool, stretch_mm: float) -> Iterator[str]:
    """The rules that a move inside a single line breaks."""
    ((start, first),), ((end, second),) = before.struck, after.struck
    if start == end:
        return
    if first == second:
        if quick and not slides(start, end):
            yield "one-finger"
        return
    if not in_hand(start, end, stretch_mm):
        return
    if 1 not in (first, second):
        if _out_of_reach(start, end, first, second, stretch_mm):
            yield "long-reach"
        elif quick and abs(end - start) <= NEXT_KEYS and (second > first) != (end > start):
            yield "crossed"
    elif (second == 1) == (end > start) and abs(end - start) >= WIDE_PASS:
        yield "wide-pass"


def held_breaks(before: Grip, after: Grip, stretch_mm: float) -> Iterator[str]:
    """The rule that a quick move beside a held key breaks: another finger is free, and in reach."""
    ((start, first),), ((end, second),) = before.struck, after.struck
    if first != second or start == end or slides(start, end) or after.released:
        return
    others = range(first + 1, 6) if end > start else range(2, first)
    for free in set(others).difference(finger for _, finger in after.held):
        keys, fingers = zip(*sorted((*after.held, (end, free))), strict=True)
        joined = not _out_of_reach(start, end, first, free, stretch_mm)
        if joined and can_hold(keys, fingers, Hand.RIGHT, stretch_mm):
            yield "one-finger-held"
            return


def _out_of_reach(start: int, end: int, first: int, second: int, stretch_mm: float) -> bool:
    """Whether two fingers, joined, do not reach from key to key."""
    most = reach(*sorted((first, second)), stretch_mm).max_prac
    return abs(signed_mm(start, end)) > most + ROUNDING_MM


def outer_wanted(
    steps: Sequence[Step], now: int, stretch_mm: float
) -> tuple[str, frozenset[int]] | None:
    """The rule that says which fingers the outer key of a step takes, and these fingers."""
    step = steps[now]
    if len(step.struck) == 1:
        if not step.held and _is_bass(steps, now, stretch_mm):
            return "bass", _BASS_BLACK if is_black(step.struck[0]) else _BASS_WHITE
    elif 3 <= len(step.struck) <= 5:
        joined = step.joined or (now + 1 < len(steps) and steps[now + 1].joined)
        return None if joined else ("top", _TOP)
    return None


def _is_bass(steps: Sequence[Step], now: int, stretch_mm: float) -> bool:
    """Whether the hand leaps inwards from this key to a chord, or came from one and stops.

    It may leap to one key first and on to the chord. Where a single key further out is struck just
    before, that one was the bass: the hand is on its way inwards already.
    """
    (here,) = steps[now].struck
    if now and steps[now].joined and len(steps[now - 1].struck) == 1:
        (before,) = steps[now - 1].struck
        if before > here:
            return False

    def inwards(other: Step) -> bool:
        inner = other.struck[0]
        return inner < here and not in_hand(inner, here, stretch_mm)

    def to_chord(other: Step) -> bool:
        return len(other.struck) > 1 and inwards(other)

    if now + 1 < len(steps):
        by_way = now + 2 < len(steps) and inwards(steps[now + 1]) and to_chord(steps[now + 2])
        return to_chord(steps[now + 1]) or by_way
    return to_chord(steps[now - 1])  # alone it is the last as well, and no chord


def broken(
    steps: Sequence[Step], path: Sequence[Grip], stretch_mm: float
) -> Iterator[tuple[int, str]]:
    """Every rule that a whole fingering breaks: the number of the step, and the rule."""
    for now, (step, grip) in enumerate(zip(steps, path, strict=True)):
        for rule in own_rules(steps, now, grip, stretch_mm):
            yield now, rule
        if now:
            before = left_by(path[now - 1], steps[now - 1])
            for rule in move_rules(steps[now - 1], step, before, grip, stretch_mm):
                yield now, rule


def own_rules(steps: Sequence[Step], now: int, grip: Grip, stretch_mm: float) -> Iterator[str]:
    """The rules that a grip breaks, whatever grips come before and after."""
    wanted = outer_wanted(steps, now, stretch_mm)
    if wanted and grip.fingers[-1] not in wanted[1]:
        yield wanted[0]
    if grip.rolled and _too_wide(grip, stretch_mm):
        yield "chord-reach"


def move_rules(
    here: Step, there: Step, before: Grip, after: Grip, stretch_mm: float
) -> Iterator[str]:
    """The rules that the move from one step to the next breaks."""
    if is_line(here, there):
        yield from move_breaks(before, after, there.quick, stretch_mm)
    elif is_beside(here, there):
        yield from held_breaks(before, after, stretch_mm)


def _too_wide(grip: Grip, stretch_mm: float) -> bool:
    """Whether keys within the hand are struck by long fingers that do not reach so far."""
    if not in_hand(grip.struck[0][0], grip.struck[-1][0], stretch_mm):
        return False
    return any(
        1 < first < second
        and signed_mm(low, high) > held_reach_mm(first, second, stretch_mm) + ROUNDING_MM
        for (low, first), (high, second) in combinations(grip.struck, 2)
    )


def own_charges(
    steps: Sequence[Step], now: int, grips: Sequence[Grip], stretch_mm: float
) -> list[float] | None:
    """What every grip of a step costs for the rules that bind; None where none does."""
    wanted = outer_wanted(steps, now, stretch_mm)
    if wanted is None:
        return None
    rule, fingers = wanted
    return [0.0 if grip.fingers[-1] in fingers else FINGERING[rule] for grip in grips]
