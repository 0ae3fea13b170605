"""Figures that recur: the same notes, an octave off, or the same figure on other steps.

Enters: steps, and what every choice costs at best. Leaves: for each step the fingers that suit all
its recurrences best. Pianists finger a figure alike wherever it comes back.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence

from engrave.fingering.costs import weight
from engrave.fingering.grips import Grip
from engrave.fingering.line import Step
from engrave.keyboard import is_black, white_keys_between

Signature = tuple[object, ...]
_SURROUNDINGS = ((1, 1), (2, 2), (3, 3), (2, 0), (0, 2))
"""How many onsets before and after must agree; each that does adds its share of the cost."""


def alike(
    steps: Sequence[Step], choices: Sequence[Sequence[Grip]], best: Sequence[Sequence[float]]
) -> list[list[float]]:
    """What every choice costs for differing from the fingers that its figure takes elsewhere."""
    extra = [[0.0] * len(grips) for grips in choices]
    share = weight("figure-alike") / len(_SURROUNDINGS)
    for group in _groups(steps):
        common = _common_fingers(group, choices, best)
        for number in group:
            for k, grip in enumerate(choices[number]):
                if grip.fingers != common:
                    extra[number][k] += share
    return extra


def _groups(steps: Sequence[Step]) -> Iterator[list[int]]:
    """Onsets in like surroundings."""
    for before, after in _SURROUNDINGS:
        groups: defaultdict[Signature, list[int]] = defaultdict(list)
        for number in range(before, len(steps) - after):
            around = steps[number - before : number + after + 1]
            groups[_pitches(around, steps[number])].append(number)
            if before + after > 3 and (shape := _shape(around, steps[number])):
                groups[shape].append(number)
        yield from (group for group in groups.values() if len(group) > 1)


def _pitches(around: Sequence[Step], centre: Step) -> Signature:
    """The same keys, in any octave."""
    octave = centre.struck[0] // 12 * 12
    return tuple(tuple(key - octave for key in step.struck) for step in around)


def _shape(around: Sequence[Step], centre: Step) -> Signature:
    """The same figure on any step, white and black keys in the same places.

    None for a line that only rises or falls: there every note would be like every other.
    """
    low = [step.struck[0] for step in around]
    if low == sorted(low) or low == sorted(low, reverse=True):
        return ()
    first = centre.struck[0]
    return tuple(
        tuple(
            (white_keys_between(first, key) * (1 if key > first else -1), is_black(key))
            for key in step.struck
        )
        for step in around
    )


def _common_fingers(
    group: Sequence[int], choices: Sequence[Sequence[Grip]], best: Sequence[Sequence[float]]
) -> tuple[int, ...]:
    sums: defaultdict[tuple[int, ...], float] = defaultdict(float)
    seen: defaultdict[tuple[int, ...], int] = defaultdict(int)
    for number in group:
        cheapest: dict[tuple[int, ...], float] = {}
        for grip, cost in zip(choices[number], best[number], strict=True):
            cheapest[grip.fingers] = min(cost, cheapest.get(grip.fingers, cost))
        for fingers, cost in cheapest.items():
            sums[fingers] += cost
            seen[fingers] += 1
    return min(sums, key=lambda fingers: (-seen[fingers], sums[fingers], fingers))
