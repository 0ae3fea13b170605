"""A line solved: its steps, what there was to choose from, and the cheapest path.

Enters: onsets of one hand, its stretch, the tempo. Leaves: a ``Solution``.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from operator import add, sub

from engrave.fingering.figures import alike
from engrave.fingering.grips import Grip, grips_of
from engrave.fingering.line import FingeringError, Step, steps_of
from engrave.fingering.search import Lattice, Path, at_best, cheapest, lattice
from engrave.model import Hand
from engrave.passage import Onset


@dataclass(frozen=True, slots=True)
class Solution:
    """The cheapest ``path`` through the ``choices`` of every step, and its ``cost``.

    ``net`` holds all costs, with ``unlike``, what each choice was charged for differing from its
    figure's fingers elsewhere. ``direction`` is -1 for a left hand, whose keys, and so fingers,
    stand in the steps from high to low.
    """

    steps: tuple[Step, ...]
    choices: tuple[tuple[Grip, ...], ...]
    net: Lattice
    unlike: list[list[float]]
    path: Path
    cost: float
    stretch_mm: float
    direction: int

    @property
    def cheapest(self) -> float:
        """What the cheapest path would cost if no figure had to be fingered alike."""
        bare = [
            list(map(sub, own, unlike))
            for own, unlike in zip(self.net.own, self.unlike, strict=True)
        ]
        return cheapest(replace(self.net, own=bare))[1]

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
    choices = tuple(_choices(number, step, stretch_mm) for number, step in enumerate(steps))
    net = lattice(steps, choices, stretch_mm)
    unlike = alike(steps, choices, at_best(net))
    own = [list(map(add, here, extra)) for here, extra in zip(net.own, unlike, strict=True)]
    net = replace(net, own=own)
    path, cost = cheapest(net)
    direction = 1 if hand is Hand.RIGHT else -1
    return Solution(steps, choices, net, unlike, path, cost, stretch_mm, direction)


def _choices(number: int, step: Step, stretch_mm: float) -> tuple[Grip, ...]:
    grips = grips_of(step, stretch_mm)
    if not grips:
        raise FingeringError("no hand can take these keys with these fingers", number)
    return grips
