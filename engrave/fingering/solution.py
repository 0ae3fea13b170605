"""A line solved: its steps, what there was to choose from, and the cheapest path.

Enters: onsets of one hand, its stretch, the tempo. Leaves: a ``Solution``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from operator import add

from engrave.fingering.figures import (
    Fingers,
    Group,
    best_shared,
    difference,
    innermost,
    outermost,
    recurrences,
    unlike,
)
from engrave.fingering.grips import Grip, grips_of
from engrave.fingering.line import FingeringError, Step, steps_of
from engrave.fingering.moves import pace
from engrave.fingering.search import Lattice, Path, at_best, cheapest, lattice, pruned
from engrave.music.notes import Hand
from engrave.music.onset import Onset

Choices = tuple[tuple[Grip, ...], ...]
_SPARE = 8.0
"""Choices that would make the whole line so much dearer are left out when figures are compared."""
_ROUNDS = 3
"""How often the figures are fingered anew after the best fingering found so far."""


@dataclass(frozen=True, slots=True)
class Solution:
    """The cheapest ``path`` through the ``choices`` of every step, and its ``cost``.

    Choices that were out of the question are left out.

    ``net`` holds all costs, with ``unlike``, what each choice was charged for differing from the
    fingers that its figure takes elsewhere; ``bare_cost`` is that of the cheapest path if no
    figure had to be fingered alike. ``direction`` is -1 for a left hand, whose keys, and so
    fingers, stand in the steps from high to low.
    """

    steps: tuple[Step, ...]
    choices: Choices
    net: Lattice
    unlike: list[list[float]]
    path: Path
    cost: float
    bare_cost: float
    stretch_mm: float
    direction: int

    @property
    def grips(self) -> tuple[Grip, ...]:
        """The grips chosen."""
        return tuple(grips[k] for grips, k in zip(self.choices, self.path, strict=True))


def solve(
    onsets: Sequence[Onset], hand: Hand, stretch_mm: float, quarters_per_minute: Fraction | float
) -> Solution:
    """The line's cheapest fingering, figures fingered alike where they come back.

    Raises ``FingeringError`` at the onset whose fixed fingers no hand can take.
    """
    steps = steps_of(onsets, hand, quarters_per_minute)
    every = tuple(_choices(number, step, stretch_mm) for number, step in enumerate(steps))
    whole = lattice(steps, every, stretch_mm)
    at_best_costs = at_best(whole)
    bare_cost = min(at_best_costs[0]) if steps else 0.0
    bare, choices, best_costs = pruned(whole, every, at_best_costs, _SPARE)
    figures = _Figures(recurrences(steps), tuple(map(pace, steps)))
    best = _alike(bare, best_costs, choices, figures)
    direction = 1 if hand is Hand.RIGHT else -1
    return Solution(
        steps,
        choices,
        best.net,
        best.unlike,
        best.path,
        best.cost,
        bare_cost,
        stretch_mm,
        direction,
    )


def _choices(number: int, step: Step, stretch_mm: float) -> tuple[Grip, ...]:
    grips = grips_of(step, stretch_mm)
    if not grips:
        raise FingeringError("no hand can take these keys with these fingers", number)
    return grips


@dataclass(frozen=True, slots=True)
class _Figures:
    """The groups of like onsets, and how much more than usual each step weighs."""

    groups: tuple[Group, ...]
    paces: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class _Trial:
    """The cheapest path when every group of like onsets is to take certain fingers.

    ``true_cost`` charges what really differs within the groups, whatever they were to take.
    """

    net: Lattice
    unlike: list[list[float]]
    path: Path
    cost: float
    true_cost: float


def _alike(
    bare: Lattice, best_costs: Sequence[Sequence[float]], choices: Choices, figures: _Figures
) -> _Trial:
    """The best of some ways to finger recurring figures alike.

    First as suits all members of a group; then as one of them has it in the cheapest path without
    regard to figures, and in the best so far: the one nearest to an end of the line, where the
    fingering has the least to follow from, or the one farthest from the ends.
    """
    groups = figures.groups
    shared = [best_shared(group, choices, best_costs) for group in groups]
    best = _trial(bare, choices, figures, shared)
    for number in range(_ROUNDS if groups else 0):
        fingers = _fingers(choices, best.path if number else cheapest(bare)[0])
        for model in (outermost, innermost):
            shared = [fingers[model(group, len(fingers))] for group in groups]
            best = min(best, _trial(bare, choices, figures, shared), key=lambda t: t.true_cost)
    return best


def _trial(bare: Lattice, choices: Choices, figures: _Figures, shared: Sequence[Fingers]) -> _Trial:
    extra = unlike(figures.groups, shared, choices, figures.paces)
    own = [list(map(add, costs, more)) for costs, more in zip(bare.own, extra, strict=True)]
    net = replace(bare, own=own)
    path, cost = cheapest(net)
    charged = sum(more[k] for more, k in zip(extra, path, strict=True))
    differing = difference(figures.groups, _fingers(choices, path), figures.paces)
    return _Trial(net, extra, path, cost, cost - charged + differing)


def _fingers(choices: Choices, path: Path) -> list[Fingers]:
    return [grips[k].fingers for grips, k in zip(choices, path, strict=True)]
