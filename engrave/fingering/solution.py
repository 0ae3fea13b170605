"""A line solved: its steps, what there was to choose from, and the fingering chosen.

Enters: onsets of one hand, its stretch, the tempo. Leaves: a ``Solution``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from engrave.fingering.binding import broken
from engrave.fingering.figures import Group, groups_of, parted, with_given
from engrave.fingering.grips import Choices, Grip, grips_of, taken
from engrave.fingering.joining import joined
from engrave.fingering.line import steps_of
from engrave.fingering.pricing import lattice
from engrave.fingering.repair import way_out
from engrave.fingering.search import Lattice, Path, cost_of
from engrave.fingering.step import FingeringError, Step
from engrave.fingering.votes import Votes, voted
from engrave.music.notes import Hand
from engrave.music.onset import Onset


@dataclass(frozen=True, slots=True)
class Solution:
    """The ``path`` chosen through the ``choices`` of every step, and what it costs by the rules.

    ``net`` holds all costs, ``votes`` the share of every finger among all good paths.
    ``direction`` is -1 for a left hand, whose keys, and so fingers, stand in the steps from high to
    low.
    """

    steps: tuple[Step, ...]
    choices: Choices
    net: Lattice
    votes: tuple[Votes, ...]
    path: Path
    cost: float
    stretch_mm: float
    direction: int

    @property
    def grips(self) -> tuple[Grip, ...]:
        """The grips chosen."""
        return taken(self.choices, self.path)


def solve(
    onsets: Sequence[Onset], hand: Hand, stretch_mm: float, quarters_per_minute: Fraction | float
) -> Solution:
    """The line's fingering: the fingers most good paths agree on, figures alike where they return.

    Raises ``FingeringError`` at the onset whose fixed fingers no hand can take.
    """
    asked = steps_of(onsets, hand, quarters_per_minute, stretch_mm)
    groups = parted(asked, groups_of(asked))
    free = tuple(_choices(number, step, stretch_mm) for number, step in enumerate(asked))
    steps, choices = _suggested(asked, free, groups, stretch_mm)
    net = lattice(steps, choices, stretch_mm)
    votes = voted(steps, choices, net, groups)
    path = way_out(steps, choices, net, joined(net, choices, votes, groups), stretch_mm)
    if steps != asked:
        grips = taken(choices, path)
        if any(broken(steps, grips, stretch_mm)):
            # A finger given at one member of a figure is no reason to break a rule at another.
            steps, choices = asked, _widened(free, grips)
            net = lattice(steps, choices, stretch_mm)
            votes = voted(steps, choices, net, groups)
            path = tuple(each.index(grip) for each, grip in zip(choices, grips, strict=True))
            path = way_out(steps, choices, net, path, stretch_mm)
    direction = 1 if hand is Hand.RIGHT else -1
    cost = cost_of(net, path)
    return Solution(steps, choices, net, tuple(votes), path, cost, stretch_mm, direction)


def _choices(number: int, step: Step, stretch_mm: float) -> tuple[Grip, ...]:
    grips = grips_of(step, stretch_mm)
    if not grips:
        raise FingeringError("no hand can take these keys with these fingers", number)
    return grips


def _suggested(
    asked: tuple[Step, ...], choices: Choices, groups: Sequence[Group], stretch_mm: float
) -> tuple[tuple[Step, ...], Choices]:
    """Steps and choices, with what is given in a figure fixed where it comes again, if it can."""
    steps, found = list(asked), list(choices)
    for number, step in enumerate(with_given(asked, groups)):
        grips = grips_of(step, stretch_mm) if step != asked[number] else ()
        if grips:
            steps[number], found[number] = step, grips
    return tuple(steps), tuple(found)


def _widened(choices: Choices, grips: Sequence[Grip]) -> Choices:
    """The choices, with the grips that nobody would take who is not asked for them."""
    return tuple(
        each if grip in each else (*each, grip) for each, grip in zip(choices, grips, strict=True)
    )
