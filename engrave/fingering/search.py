"""The ways through a lattice of costs: dynamic programming over the two preceding steps.

Enters: a ``Lattice``. Leaves: the cheapest path, and the share of every choice among all good
paths. Time grows linearly with the steps. Knows nothing of hands or keys.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp
from operator import add, mul

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


def narrowed(net: Lattice, kept: Sequence[Sequence[int]]) -> Lattice:
    """The lattice with only the ``kept`` choices of every step."""

    def between(matrices: Sequence[Matrix], now: int, back: int) -> Matrix:
        if now < back:
            return []
        return [[matrices[now][k][j] for j in kept[now - back]] for k in kept[now]]

    steps = range(len(kept))
    return Lattice(
        [[net.own[now][k] for k in kept[now]] for now in steps],
        [between(net.moves, now, 1) for now in steps],
        [between(net.skips, now, 2) for now in steps],
    )


def cost_of(net: Lattice, path: Path) -> float:
    """What a path costs."""
    cost = sum(row[k] for row, k in zip(net.own, path, strict=True))
    cost += sum(net.moves[now][path[now]][path[now - 1]] for now in range(1, len(path)))
    return cost + sum(net.skips[now][path[now]][path[now - 2]] for now in range(2, len(path)))


def cheapest(net: Lattice) -> tuple[Path, float]:
    """The cheapest path and its cost; of equals the one with the lower grips at the end."""
    if not net.own:
        return (), 0.0
    if len(net.own) == 1:
        (row,) = net.own
        least = min(row)
        return (row.index(least),), least
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


def shares(net: Lattice) -> list[list[float]]:
    """For every step and grip, its share among all good paths.

    A path has a share that falls by the factor e for each unit that it costs more. Forward and
    backward over the lattice, scaled at every step.
    """
    likely = _likely(net)
    if len(net.own) < 2:
        return [_scaled(row) for row in likely.own]
    forward, backward = _sums_before(likely), _sums_after(likely)
    found = [
        _scaled([sum(map(mul, f, b)) for f, b in zip(forward[i], backward[i], strict=True)])
        for i in range(1, len(net.own))
    ]
    pairs = list(zip(forward[1], backward[1], strict=True))
    first = [sum(f[j] * b[j] for f, b in pairs) for j in range(len(net.own[0]))]
    return [_scaled(first), *found]


_LEAST = 1e-30
"""No share of a cost is less: where every way is out of the question, one has to be taken."""


def _likely(net: Lattice) -> Lattice:
    """The costs of a lattice as factors of likelihood."""

    known: dict[int, Matrix] = {}

    def factors(matrices: Sequence[Matrix]) -> list[Matrix]:
        for matrix in matrices:
            if id(matrix) not in known:
                known[id(matrix)] = [_factors(row) for row in matrix]
        return [known[id(matrix)] for matrix in matrices]

    own = [_factors([cost - min(row) for cost in row]) for row in net.own]
    return Lattice(own, factors(net.moves), factors(net.skips))


def _factors(costs: Sequence[float]) -> list[float]:
    return [max(exp(-cost), _LEAST) for cost in costs]


def _scaled(row: Sequence[float]) -> list[float]:
    most = sum(row)
    return [each / most for each in row]


def _scaled_rows(rows: Matrix) -> Matrix:
    most = max(map(max, rows))
    return [[each / most for each in row] for row in rows]


def _sums_before(likely: Lattice) -> list[Matrix]:
    """``[i][k][j]``: all ways up to grip k at step i by way of grip j before it."""
    second = [
        [first * move * here for first, move in zip(likely.own[0], moves, strict=True)]
        for moves, here in zip(likely.moves[1], likely.own[1], strict=True)
    ]
    sums: list[Matrix] = [[], _scaled_rows(second)]
    for now in range(2, len(likely.own)):
        before = sums[-1]
        rows = [
            [
                sum(map(mul, row, skips)) * move * here
                for row, move in zip(before, moves, strict=True)
            ]
            for moves, skips, here in zip(
                likely.moves[now], likely.skips[now], likely.own[now], strict=True
            )
        ]
        sums.append(_scaled_rows(rows))
    return sums


def _sums_after(likely: Lattice) -> list[Matrix]:
    """``[i][k][j]``: all ways on from grip k at step i, grip j before it."""
    sums: list[Matrix] = [[[1.0] * len(likely.own[-2]) for _ in likely.own[-1]]]
    for now in range(len(likely.own) - 1, 1, -1):
        after, own = sums[-1], likely.own[now]
        moves = list(zip(*likely.moves[now], strict=True))
        skips = list(zip(*likely.skips[now], strict=True))
        columns = list(zip(*after, strict=True))
        rows = []
        for k in range(len(likely.own[now - 1])):
            onwards = [
                move * here * further
                for move, here, further in zip(moves[k], own, columns[k], strict=True)
            ]
            rows.append([sum(map(mul, onwards, skip)) for skip in skips])
        sums.append(_scaled_rows(rows))
    return [[], *reversed(sums)]


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
