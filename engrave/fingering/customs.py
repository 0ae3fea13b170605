"""What custom has for repeated notes, trills, thirds and steps in a row, and basses.

Enters: grips, and what ``patterns`` names of a step. Leaves: amounts by rule.
"""

from collections.abc import Iterator, Sequence

from engrave.fingering.costs import Amount, priced, total
from engrave.fingering.grips import Grip
from engrave.fingering.keyboard import is_black
from engrave.fingering.step import Step

_TRILLED = frozenset({(1, 3), (2, 3), (2, 4)})
"""The pairs of fingers that trill."""
_IN_THIRDS = frozenset({(1, 3), (2, 4), (3, 5)})
"""The pairs of fingers that take thirds in a row; 1 and 2 as well where they rise."""


Stroke = tuple[int, int]
"""A key (MIDI) and the finger on it."""


def is_of_custom(before: Grip, after: Grip, step: Step) -> bool:
    """Whether custom has anything to say of a move into a step."""
    if len(before.struck) == len(after.struck) == 1:
        named = step.due is not None or step.trill or step.pair > 0
        return named or bool(_closed_up(*before.struck, *after.struck, step))
    return _in_thirds(before, after)


def custom_amounts(before: Grip, after: Grip, step: Step) -> Iterator[Amount]:
    """The rules of custom that a move into a step meets."""
    if len(before.struck) == len(after.struck) == 1:
        yield from _single_amounts(*before.struck, *after.struck, step)
    elif step.joined and _in_thirds(before, after):
        kept = set(before.fingers) & set(after.fingers)
        rising = max(before.struck, after.struck) == after.struck
        yield "thirds-by-one", float(len(kept - {1} if rising else kept))
        usual = _IN_THIRDS | {(1, 2)} if rising else _IN_THIRDS
        yield "thirds-by-others", float(sum(g.fingers not in usual for g in (before, after)))


def _single_amounts(start: Stroke, end: Stroke, step: Step) -> Iterator[Amount]:
    """The rules that one key after another meets."""
    (key, first), (next_key, second) = start, end
    if step.due is not None and key == next_key:
        yield from _repeat_amounts(first, second, bool(step.due))
    if step.pair:
        yield from _struck_twice_amounts(start, end, step.due is None)
    if closed_up := _closed_up(start, end, step):
        yield "closed-up", closed_up
    if step.trill:
        low, high = sorted((first, second))
        yield "trill-pair", float((low, high) not in _TRILLED)


_OF_A_THIRD = 0.5
"""How much closing up for a third is of closing up for a step."""


def _closed_up(start: Stroke, end: Stroke, step: Step) -> float:
    """How much the hand closes up: for a step to 1–4, 1–5 or 2–5, for a third to 1–5."""
    (low, first), (high, second) = sorted((start, end))
    closed = second - first
    if not step.joined or closed < 3:
        return 0.0
    if high - low in (1, 2):
        return 1.0
    return _OF_A_THIRD * (closed == 4 and high - low in (3, 4))


_TOO_NEAR = frozenset({(1, 5), (4, 5)})
"""Fingers that do not take the outer ones of three neighbours, lower finger first: the hand would
be cramped, or the thumb between two fingers that lie side by side."""


def after_two_amounts(first: Grip, last: Grip, step: Step) -> Iterator[Amount]:
    """The rules of custom that a grip and the next but one meet, the last at a step."""
    if step.main and first.fingers != last.fingers:
        yield "turn-about", 1.0
    if step.rounded:
        (_, lower), (_, upper) = sorted((*first.struck, *last.struck))
        yield "turn-about", float(upper - lower < 2)
    if step.pair == 2 and step.due is None:
        yield "struck-twice-unlike", float(first.fingers != last.fingers)
    if step.row:
        outer = sorted((*first.struck, *last.struck))
        if tuple(finger for _, finger in outer) in _TOO_NEAR:
            yield "row-spanned", 1.0
        ((key, finger),) = last.struck
        if finger == 5 and is_black(key):
            yield "row-to-black", 1.0


def after_two_cost(first: Grip, last: Grip, step: Step) -> float:
    """What those cost."""
    return total(priced(after_two_amounts(first, last, step)))


def _in_thirds(before: Grip, after: Grip) -> bool:
    """Whether both are thirds, a step apart."""
    if not (_is_third(before) and _is_third(after)):
        return False
    return abs(after.struck[0][0] - before.struck[0][0]) in (1, 2)


def _is_third(grip: Grip) -> bool:
    keys = [key for key, _ in grip.struck]
    return len(keys) == 2 and keys[1] - keys[0] in (3, 4)


def _repeat_amounts(first: int, second: int, quick: bool) -> Iterator[Amount]:
    """The rules that two fingers meet, one after the other on a key struck again and again.

    Where it is quick they take turns towards the thumb, one after the other, and then from the
    start; else one takes it throughout.
    """
    if first == second:
        yield "repeat-unchanged", float(quick)
    elif not quick:
        yield "repeat-changed", 1.0
    elif second != first - 1 and (first, second) not in ((1, 3), (1, 4)):
        yield "repeat-skipping", 1.0


def _struck_twice_amounts(start: Stroke, end: Stroke, quick: bool) -> Iterator[Amount]:
    """The rules for a key and a finger after others, in a row of keys each struck twice.

    Quickly, the next finger towards the thumb takes the second stroke. At leisure, step by step,
    the next key is the next finger's, or the thumb is passed; so it is from a key before the row.
    """
    (key, first), (next_key, second) = start, end
    if key == next_key:
        yield "struck-twice-by-others", float(quick and second != first - 1)
    elif not quick and abs(next_key - key) <= 2:
        (_, lower), (_, upper) = sorted((start, end))
        passed = (lower, upper) in ((3, 1), (4, 1))
        yield "struck-twice-skipped", float(upper - lower != 1 and not passed)


def own_amounts(grip: Grip, step: Step) -> Iterator[Amount]:
    """The rules that a grip meets whatever comes before it."""
    if step.due and grip.fingers != (step.due,):
        yield "repeat-out-of-turn", 1.0
    if step.outer and max(grip.fingers) < 4:
        yield "bass-within", 1.0


def own_costs(step: Step, grips: Sequence[Grip]) -> list[float]:
    """What custom has every grip of a step cost, whatever comes before it."""
    return [total(priced(own_amounts(grip, step))) for grip in grips]
