"""Figures that recur: the same notes, an octave off, or the same figure on other steps.

Enters: steps and the fingers of a path. Leaves: groups of onsets that stand in like surroundings,
the fingers that each group is to share, and what it costs not to. Pianists finger a figure alike
wherever it comes back.
"""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Sequence

from engrave.fingering.costs import weight
from engrave.fingering.grips import Grip
from engrave.fingering.keyboard import is_black, white_keys_between
from engrave.fingering.line import Step

Signature = tuple[object, ...]
Fingers = tuple[int, ...]
Group = list[int]
"""Numbers of the steps that stand in like surroundings, rising."""

_SURROUNDINGS = ((1, 1), (2, 2), (3, 3), (2, 0), (0, 2))
"""How many onsets before and after must agree; each that does adds its share of the cost."""
_MEMORY = 8
"""For how many onsets, for each that agreed, a figure is remembered: long ones for longer."""


def recurrences(steps: Sequence[Step]) -> tuple[Group, ...]:
    """All groups of two and more; an onset may stand in several, of different surroundings."""
    return tuple(group for group in _groups(steps) if len(group) > 1)


def best_shared(
    group: Group, choices: Sequence[Sequence[Grip]], best: Sequence[Sequence[float]]
) -> Fingers:
    """The fingers that a group shares at the least cost, each onset taken for itself.

    ``best`` is what the cheapest path through every choice costs. Fingers that not all can take
    (some are fixed) come last.
    """
    sums: defaultdict[Fingers, float] = defaultdict(float)
    seen: Counter[Fingers] = Counter()
    for number in group:
        least: dict[Fingers, float] = {}
        for grip, cost in zip(choices[number], best[number], strict=True):
            least[grip.fingers] = min(cost, least.get(grip.fingers, cost))
        for fingers, cost in least.items():
            sums[fingers] += cost
            seen[fingers] += 1
    return min(sums, key=lambda fingers: (-seen[fingers], sums[fingers], fingers))


def outermost(group: Group, count: int) -> int:
    """The onset of a group that stands nearest to an end of the line."""
    return min(group, key=lambda number: min(number, count - 1 - number))


def innermost(group: Group, count: int) -> int:
    """The onset of a group that stands farthest from both ends of the line."""
    return max(group, key=lambda number: min(number, count - 1 - number))


def unlike(
    groups: Sequence[Group],
    shared: Sequence[Fingers],
    choices: Sequence[Sequence[Grip]],
    paces: Sequence[float],
) -> list[list[float]]:
    """What every choice costs for not being the fingers that its groups share.

    ``paces``: how much more than usual that weighs at each step, as do moves.
    """
    costs = [[0.0] * len(grips) for grips in choices]
    for group, fingers in zip(groups, shared, strict=True):
        for number in group:
            row, charge = costs[number], _share() * paces[number]
            for k, grip in enumerate(choices[number]):
                if grip.fingers != fingers:
                    row[k] += charge
    return costs


def difference(groups: Sequence[Group], path: Sequence[Fingers], paces: Sequence[float]) -> float:
    """What a whole fingering costs for the onsets that differ from the most of their groups."""
    cost = 0.0
    for group in groups:
        weights: defaultdict[Fingers, float] = defaultdict(float)
        for number in group:
            weights[path[number]] += paces[number]
        cost += sum(weights.values()) - max(weights.values())
    return _share() * cost


def _share() -> float:
    return weight("figure-alike") / len(_SURROUNDINGS)


def _groups(steps: Sequence[Step]) -> Iterator[Group]:
    signatures: tuple[Callable[[Sequence[Step], int], Signature], ...] = (_pitches, _shape)
    for before, after in _SURROUNDINGS:
        found: defaultdict[Signature, Group] = defaultdict(list)
        for number in range(before, len(steps) - after):
            around = steps[number - before : number + after + 1]
            for signature in signatures[: 2 if before + after > 3 else 1]:
                found[signature(around, before)].append(number)
        found.pop((), None)
        for numbers in found.values():
            yield from _remembered(numbers, _MEMORY * (before + after))


def _remembered(numbers: Sequence[int], reach: int) -> Iterator[Group]:
    """The numbers, cut where more than ``reach`` onsets lie between two."""
    group: Group = []
    for number in numbers:
        if group and number - group[-1] > reach:
            yield group
            group = []
        group.append(number)
    yield group


def _pitches(around: Sequence[Step], centre: int) -> Signature:
    """The same keys, in any octave."""
    octave = around[centre].struck[0] // 12 * 12
    return tuple(tuple(key - octave for key in step.struck) for step in around)


def _shape(around: Sequence[Step], centre: int) -> Signature:
    """The same figure on any step, white and black keys in the same places.

    None for a line that only rises or falls: there every note would be like every other.
    """
    low = [step.struck[0] for step in around]
    if low == sorted(low) or low == sorted(low, reverse=True):
        return ()
    first = around[centre].struck[0]
    return tuple(
        tuple(
            (white_keys_between(first, key) * (1 if key > first else -1), is_black(key))
            for key in step.struck
        )
        for step in around
    )
