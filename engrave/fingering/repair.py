"""The way out of fingers that break a rule that binds: others that break fewer.

Enters: steps, grips to choose from, their costs, and the fingers that stand. Leaves: a path. Rules
come before figures here: where both cannot be had, the figure is fingered otherwise.
"""

from collections.abc import Sequence
from dataclasses import replace

from engrave.fingering.binding import broken, move_rules, own_rules
from engrave.fingering.costs import BROKEN, OTHERWISE
from engrave.fingering.grips import Choices, left_by, taken
from engrave.fingering.search import Lattice, Matrix, Path, cheapest
from engrave.fingering.step import Step


def way_out(
    steps: Sequence[Step], choices: Choices, net: Lattice, path: Path, stretch_mm: float
) -> Path:
    """The path itself, or where another breaks fewer rules, the cheapest of those, near it."""
    count = _count(steps, choices, path, stretch_mm)
    if not count:
        return path
    fingers = [grip.fingers for grip in taken(choices, path)]
    other = fewest(steps, choices, net, fingers, stretch_mm)
    return other if _count(steps, choices, other, stretch_mm) < count else path


def _count(steps: Sequence[Step], choices: Choices, path: Path, stretch_mm: float) -> int:
    return len(list(broken(steps, taken(choices, path), stretch_mm)))


def fewest(
    steps: Sequence[Step],
    choices: Choices,
    net: Lattice,
    fingers: Sequence[tuple[int, ...]],
    stretch_mm: float,
) -> Path:
    """The cheapest path of those that break fewest rules, near the ``fingers`` that stand."""
    own = [
        [
            cost
            + OTHERWISE * (grip.fingers != stand)
            + BROKEN * len(list(own_rules(steps, now, grip, stretch_mm)))
            for cost, grip in zip(net.own[now], grips, strict=True)
        ]
        for now, (grips, stand) in enumerate(zip(choices, fingers, strict=True))
    ]
    moves = [_charged(net.moves[n], steps, choices, n, stretch_mm) for n in range(len(steps))]
    path, _ = cheapest(replace(net, own=own, moves=moves))
    return path


def _charged(
    moves: Matrix, steps: Sequence[Step], choices: Choices, now: int, stretch_mm: float
) -> Matrix:
    """What it costs to move into a step, every rule that the move breaks charged."""
    if not now:
        return moves
    here, there = steps[now - 1], steps[now]
    left = [left_by(grip, here) for grip in choices[now - 1]]
    return [
        [
            cost + BROKEN * len(list(move_rules(here, there, before, after, stretch_mm)))
            for cost, before in zip(row, left, strict=True)
        ]
        for row, after in zip(moves, choices[now], strict=True)
    ]
