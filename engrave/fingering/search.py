"""The cheapest fingering of a line: dynamic programming over the two preceding onsets.

Enters: steps and, for each, the grips to choose from. Leaves: the cheapest path and its cost.
Time grows linearly with the steps; the costs themselves come from ``grips`` and ``moves``.
"""

from collections.abc import Sequence
from operator import add

from engrave.fingering.grips import Grip, grip_costs
from engrave.fingering.line import Step
from engrave.fingering.moves import move_costs, pace, skip_costs

Matrix = list[list[float]]


def total(costs: Sequence[tuple[str, float]]) -> float:
    """The sum of costs by rule."""
    return sum(amount for _, amount in costs)


def cheapest(
    steps: Sequence[Step], choices: Sequence[Sequence[Grip]], stretch_mm: float
) -> tuple[tuple[Grip, ...], float]:
    """The cheapest sequence of grips, one a step, and what it costs."""
    if not steps:
        return (), 0.0
    own = [[total(grip_costs(grip, stretch_mm)) for grip in grips] for grips in choices]
    # costs[k][j]: cheapest path whose last grip is k and whose last but one is j.
    costs: Matrix = [[cost] for cost in own[0]]
    origins: list[list[list[int]]] = []
    for now in range(1, len(steps)):
        step = steps[now]
        moves = [
            [total(move_costs(before, after, step, stretch_mm)) for before in choices[now - 1]]
            for after in choices[now]
        ]
        if now == 1:
            costs = [
                [costs[k][0] + move + here for k, move in enumerate(row)]
                for row, here in zip(moves, own[1], strict=True)
            ]
            continue
        factor = min(pace(step), pace(steps[now - 1]))
        skips = [
            [total(skip_costs(before, after, factor, stretch_mm)) for before in choices[now - 2]]
            for after in choices[now]
        ]
        costs, origin = _advance(costs, moves, skips, own[now])
        origins.append(origin)
    return _walk_back(costs, origins, choices)


def _advance(
    costs: Matrix, moves: Matrix, skips: Matrix, own: list[float]
) -> tuple[Matrix, list[list[int]]]:
    advanced: Matrix = []
    origin: list[list[int]] = []
    for move_row, skip_row, here in zip(moves, skips, own, strict=True):
        row, froms = [], []
        for before, move in zip(costs, move_row, strict=True):
            sums = list(map(add, before, skip_row))
            least = min(sums)
            froms.append(sums.index(least))
            row.append(least + move + here)
        advanced.append(row)
        origin.append(froms)
    return advanced, origin


def _walk_back(
    costs: Matrix, origins: list[list[list[int]]], choices: Sequence[Sequence[Grip]]
) -> tuple[tuple[Grip, ...], float]:
    least, last, previous = min(
        (cost, k, j) for k, row in enumerate(costs) for j, cost in enumerate(row)
    )
    path = [last] if len(choices) == 1 else [last, previous]
    for origin in reversed(origins):
        path.append(origin[path[-2]][path[-1]])
    path.reverse()
    return tuple(choices[i][k] for i, k in enumerate(path)), least
