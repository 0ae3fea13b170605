"""Every cost that a line's fingers can meet.

Enters: steps and, for each, the grips to choose from. Leaves: a ``Lattice``. Knows all rules, and
nothing of how the cheapest way is found.
"""

from collections.abc import Sequence
from operator import add

from engrave.fingering.binding import is_beside, is_line, move_rules, own_charges
from engrave.fingering.costs import FINGERING
from engrave.fingering.customs import after_two_cost, own_costs
from engrave.fingering.grips import Choices, Grip, grip_cost, left_by
from engrave.fingering.moves import move_cost, skip_cost, skip_pace
from engrave.fingering.search import Lattice, Matrix
from engrave.fingering.step import Step
from engrave.fingering.surroundings import around_costs


def lattice(steps: Sequence[Step], choices: Choices, stretch_mm: float) -> Lattice:
    """Every cost that a path through ``choices`` can meet; music repeats itself, weighed once."""
    moves: list[Matrix] = [[]]
    skips: list[Matrix] = [[], []]
    known: dict[object, Matrix] = {}
    seen = [(step.struck, step.held, step.fixed, step.changes) for step in steps]
    left = [
        [left_by(grip, step) for grip in grips] if step.changes else grips
        for step, grips in zip(steps, choices, strict=True)
    ]
    for now in range(1, len(steps)):
        step, before = steps[now], steps[now - 1]
        bound = is_line(before, step), is_beside(before, step)
        hurry = step.seconds, step.silence, step.quick, step.joined
        custom = step.due, step.trill, step.pair
        key: object = seen[now - 1], seen[now], bound, hurry, custom
        if key not in known:
            known[key] = _moves(left[now - 1], choices[now], before, step, stretch_mm)
        moves.append(known[key])
        if now >= 2:
            factor = skip_pace(steps[now - 1], step)
            custom_after_two = step.due, step.pair, step.row, step.main, step.rounded
            key = seen[now - 2], seen[now], factor, custom_after_two
            if key not in known:
                known[key] = _skips(left[now - 2], choices[now], step, factor, stretch_mm)
            skips.append(known[key])
    own = [_own(steps, now, grips, stretch_mm) for now, grips in enumerate(choices)]
    return Lattice(own, moves, skips)


def _moves(
    before: Sequence[Grip], after: Sequence[Grip], here: Step, there: Step, stretch_mm: float
) -> Matrix:
    matrix = [[move_cost(a, b, there, stretch_mm) for a in before] for b in after]
    if is_line(here, there) or is_beside(here, there):
        return [
            [
                cost + sum(map(FINGERING.__getitem__, move_rules(here, there, a, b, stretch_mm)))
                for cost, a in zip(row, before, strict=True)
            ]
            for row, b in zip(matrix, after, strict=True)
        ]
    return matrix


def _skips(
    before: Sequence[Grip], after: Sequence[Grip], step: Step, factor: float, stretch_mm: float
) -> Matrix:
    """What the way from two steps before costs, whatever lies between."""
    has_custom = step.row or step.main or step.rounded or step.pair
    return [
        [
            skip_cost(a, b, factor, stretch_mm) + (after_two_cost(a, b, step) if has_custom else 0)
            for a in before
        ]
        for b in after
    ]


def _own(steps: Sequence[Step], now: int, grips: Sequence[Grip], stretch_mm: float) -> list[float]:
    """What every grip of a step costs by itself, and in its place."""
    own = [grip_cost(grip, stretch_mm) for grip in grips]
    own = list(map(add, own, around_costs(steps, now, grips)))
    if steps[now].due or steps[now].outer:
        own = list(map(add, own, own_costs(steps[now], grips)))
    charges = own_charges(steps, now, grips, stretch_mm)
    return list(map(add, own, charges)) if charges else own
