"""Grips: every way the hand can take the keys of one onset, and what each costs in itself.

Enters: a ``Step``. Leaves: ``Grip``s. Knows nothing of the steps before and after.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations

from engrave.fingering.costs import FINGERING, Amount, Cost, Weights, priced, total
from engrave.fingering.hand import can_hold, orders, thumb_takes_both
from engrave.fingering.keyboard import is_black, signed_mm
from engrave.fingering.spans import span_amounts
from engrave.fingering.step import Step
from engrave.music.notes import Hand


@dataclass(frozen=True, slots=True)
class Grip:
    """Fingers on keys: ``struck`` now, ``held`` from before; (key, finger), low to high.

    ``rolled``: the hand cannot take the struck keys at once.
    """

    struck: tuple[tuple[int, int], ...]
    held: tuple[tuple[int, int], ...]
    released: int
    rolled: bool

    @property
    def fingers(self) -> tuple[int, ...]:
        """Fingers of the struck keys, low to high."""
        return tuple(finger for _, finger in self.struck)


Choices = Sequence[Sequence[Grip]]
"""For each step the grips to choose from."""


def taken(choices: Choices, path: Sequence[int]) -> tuple[Grip, ...]:
    """The grips that a path takes: for each step the index of one."""
    return tuple(grips[k] for grips, k in zip(choices, path, strict=True))


def left_by(grip: Grip, step: Step) -> Grip:
    """The grip from which the hand goes on: with the fingers that have taken keys over."""
    if not step.changes:
        return grip
    struck = tuple(
        (key, then or finger) for (key, finger), then in zip(grip.struck, step.changes, strict=True)
    )
    return replace(grip, struck=struck)


def grips_of(step: Step, stretch_mm: float) -> tuple[Grip, ...]:
    """Every grip of a step that keeps its fixed fingers; none where they are impossible."""
    return _grips(step.struck, step.held, step.fixed, stretch_mm)


@lru_cache(maxsize=16384)
def _grips(
    struck: tuple[int, ...],
    held: tuple[int, ...],
    fixed: tuple[int | None, ...],
    stretch_mm: float,
) -> tuple[Grip, ...]:
    found = []
    for kept in _kept(struck, held):
        keys = tuple(sorted((*struck, *kept)))
        wanted = dict(zip(struck, fixed, strict=True))
        for fingers in _orders(keys, 1 in fixed):
            if any(wanted.get(key) not in (None, finger)
                   for key, finger in zip(keys, fingers, strict=True)):  # fmt: skip
                continue
            taken = tuple(zip(keys, fingers, strict=True))
            grip = Grip(
                tuple(pair for pair in taken if pair[0] in wanted),
                tuple(pair for pair in taken if pair[0] not in wanted),
                len(held) - len(kept),
                False,
            )
            if can_hold(keys, fingers, Hand.RIGHT, stretch_mm):
                found.append(grip)
            elif not kept:
                found.append(Grip(grip.struck, (), grip.released, True))
    plain = [grip for grip in found if not grip.rolled]
    return tuple(plain or found)


def _kept(struck: tuple[int, ...], held: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """The held keys, and what is left as they are let go one by one, the farthest first."""

    def reach(key: int) -> int:
        return max(abs(key - struck[0]), abs(key - struck[-1]))

    nearest = sorted(held, key=lambda key: (reach(key), key))
    for count in range(len(held), -1, -1):
        yield tuple(nearest[:count])


def _orders(keys: tuple[int, ...], thumb_asked: bool) -> Iterator[tuple[int, ...]]:
    """Fingers that rise with the keys.

    Of two keys alone the thumb takes both only where somebody asks for it. More keys than fingers
    can only be rolled, by fingers spread evenly over them.
    """
    count = len(keys)
    known = tuple(orders(keys))
    yield from known or [tuple(1 + 4 * number // (count - 1) for number in range(count))]
    if count == 2 and thumb_asked and thumb_takes_both(*keys):
        yield 1, 1


@lru_cache(maxsize=65536)
def grip_cost(grip: Grip, stretch_mm: float, weights: Weights = FINGERING) -> float:
    """The sum of ``grip_costs``."""
    return total(grip_costs(grip, stretch_mm, weights))


def grip_costs(grip: Grip, stretch_mm: float, weights: Weights = FINGERING) -> tuple[Cost, ...]:
    """What a grip costs by rule, whatever comes before and after."""
    return priced(grip_amounts(grip, stretch_mm), weights)


def grip_amounts(grip: Grip, stretch_mm: float) -> Iterator[Amount]:
    """The rules that a grip meets, whatever comes before and after, and how much of each."""
    count = len(grip.struck)
    chord = "chord-" if count > 1 else ""
    for key, finger in grip.struck:
        yield f"{chord}{'black' if is_black(key) else 'white'}-{finger}", 1.0
    if count > 1:
        size = "two" if count == 2 else "more"
        (low, inner), *_, (high, outer) = grip.struck
        yield f"{size}-outer-{max(outer, 2)}", 1.0
        yield f"{size}-inner-{inner}", 1.0
        if outer == 4 and (high - low > 12 or (high - low == 12 and not is_black(high))):
            yield "octave-four", 1.0
        if high - low <= 4 and grip.fingers == (1, 5):
            yield "third-by-outer", 1.0
    taken = tuple(sorted((*grip.struck, *grip.held)))
    for (low, first), (high, second) in combinations(taken, 2):
        if first == second:
            yield "thumb-on-two", 1.0
        else:
            yield from span_amounts(first, second, signed_mm(low, high), stretch_mm, "chord-")
    yield "released", float(grip.released)
    yield "rolled", float(grip.rolled)
