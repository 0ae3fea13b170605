"""The cheapest fingering of a line: dynamic programming over the two preceding onsets.

Enters: steps and, for each, the grips to choose from. Leaves: the cheapest path, and what every
choice would cost at best. Time grows linearly with the steps; the costs themselves come from
``grips`` and ``moves``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from operator import add

from engrave.fingering.grips import Grip, grip_cost
from engrave.fingering.line import Step
from engrave.fingering.moves import move_cost, skip_cost, skip_pace

Matrix = list[list[float]]
Path = tuple[int, ...]
"""For each step the index of the grip chosen."""


@dataclass(frozen=True, slots=True)
class Lattice:
    """All costs of a line: ``own[i][k]`` of grip k at step i; ``moves[i][k][j]`` from grip j at
    the step before; ``skips[i][k][j]`` from grip j two steps before (empty where there is none).
    """

    own: list[list[float]]
    moves: list[Matrix]
    skips: list[Matrix]


def lattice(steps: Sequence[Step], choices: Sequence[Sequence[Grip]], stretch_mm: float) -> Lattice:
    """Every cost that a path through ``choices`` can meet."""
    moves: list[Matrix] = [[]]
    skips: list[Matrix] = [[], []]
    for now in range(1, len(steps)):
        before, after, step = choices[now - 1], choices[now], steps[now]
        moves.append([[move_cost(a, b, step, stretch_mm) for a in before] for b in after])
        if now >= 2:
            factor = skip_pace(steps[now - 1], step)
            skips.append(
                [[skip_cost(a, b, factor, stretch_mm) for a in choices[now - 2]] for b in after]
            )
    own = [[grip_cost(grip, stretch_mm) for grip in grips] for grips in choices]
    return Lattice(own, moves, skips)


def pruned(
    net: Lattice, choices: Sequence[Sequence[Grip]], best: Sequence[Sequence[float]], spare: float
) -> tuple[Lattice, tuple[tuple[Grip, ...], ...], list[list[float]]]:
    """Only the choices whose ``best`` path costs at most ``spare`` more than the cheapest."""
    kept = [[k for k, cost in enumerate(costs) if cost <= min(costs) + spare] for costs in best]

    def between(matrices: Sequence[Matrix], now: int, back: int) -> Matrix:
        if now < back:
            return []
        return [[matrices[now][k][j] for j in kept[now - back]] for k in kept[now]]

    steps = range(len(kept))
    smaller = Lattice(
        [[net.own[now][k] for k in kept[now]] for now in steps],
        [between(net.moves, now, 1) for now in steps],
        [between(net.skips, now, 2) for now in steps],
    )
    remaining = tuple(tuple(choices[now][k] for k in kept[now]) for now in steps)
    return smaller, remaining, [[best[now][k] for k in kept[now]] for now in steps]


def cheapest(net: Lattice) -> tuple[Path, float]:
    """The cheapest path and its cost; of equals the one with the lower grips at the end."""
    if not net.own:
        return (), 0.0
    if len(net.own) == 1:
        least = min(net.own[0])
        return (net.own[0].index(least),), least
    sums = _forward(net)
    least, last, previous = min(
        (cost, k, j) for k, row in enumerate(sums[-1]) for j, cost in enumerate(row)
    )
    path = [last, previous]
    for now in range(len(net.own) - 1, 1, -1):
        here, before = path[-2:]
        row = list(map(add, sums[now - 1][before], net.skips[now][here]))
        path.append(row.index(min(row)))
    return tuple(reversed(path)), least


def at_best(net: Lattice) -> list[list[float]]:
    """For every step and grip, the cost of the cheapest path through it."""
    if len(net.own) < 2:
        return net.own
    forward, backward = _forward(net), _backward(net)
    best = [
        [min(map(add, f, b)) for f, b in zip(forward[i], backward[i], strict=True)]
        for i in range(1, len(net.own))
    ]
    first = [
        min(f[j] + b[j] for f, b in zip(forward[1], backward[1], strict=True))
        for j in range(len(net.own[0]))
    ]
    return [first, *best]


def _forward(net: Lattice) -> list[Matrix]:
    """``[i][k][j]``: the cheapest path up to grip k at step i by way of grip j before it."""
    second = [
        [first + move + here for first, move in zip(net.own[0], moves, strict=True)]
        for moves, here in zip(net.moves[1], net.own[1], strict=True)
    ]
    sums: list[Matrix] = [[], second]
    for now in range(2, len(net.own)):
        before = sums[-1]
        sums.append(
            [
                [
                    min(map(add, row, skips)) + move + here
                    for row, move in zip(before, moves, strict=True)
                ]
                for moves, skips, here in zip(
                    net.moves[now], net.skips[now], net.own[now], strict=True
                )
            ]
        )
    return sums


def _backward(net: Lattice) -> list[Matrix]:
    """``[i][k][j]``: the cheapest way on from grip k at step i, grip j before it."""
    sums: list[Matrix] = [[[0.0] * len(net.own[-2]) for _ in net.own[-1]]]
    for now in range(len(net.own) - 1, 1, -1):
        after, own = sums[-1], net.own[now]
        moves = list(zip(*net.moves[now], strict=True))
        skips = list(zip(*net.skips[now], strict=True))
        columns = list(zip(*after, strict=True))
        rows = [
            [
                move + here + further
                for move, here, further in zip(moves[k], own, columns[k], strict=True)
            ]
            for k in range(len(net.own[now - 1]))
        ]
        sums.append([[min(map(add, row, skip)) for skip in skips] for row in rows])
    return [[], *reversed(sums)]
