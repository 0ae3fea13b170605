"""Why a fingering was chosen: what each choice costs, rule by rule, and what else players take.

Enters: a solved line. Leaves: ``Explanation``s, for ``engrave check --why``.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from operator import itemgetter

from engrave.fingering.binding import broken
from engrave.fingering.costs import FINGERING, Cost, priced, total
from engrave.fingering.customs import after_two_amounts, own_amounts
from engrave.fingering.grips import grip_costs, left_by
from engrave.fingering.moves import move_costs, skip_costs, skip_pace
from engrave.fingering.solution import Solution
from engrave.fingering.surroundings import around, around_amounts


@dataclass(frozen=True, slots=True)
class Explanation:
    """What the fingers of one onset cost, given those of the two onsets before.

    ``onset`` is the index into the onsets given; ``fingers`` low to high; ``costs`` the rules that
    charged something, dearest first. ``shares``: for every key, low to high, its fingers with
    their shares among all good fingerings of the line, the most frequent first.
    """

    onset: int
    fingers: tuple[int, ...]
    costs: tuple[Cost, ...]
    shares: tuple[tuple[tuple[int, float], ...], ...]

    @property
    def cost(self) -> float:
        """What the choice costs in all."""
        return total(self.costs)


def explanations(solution: Solution) -> tuple[Explanation, ...]:
    """One explanation an onset; their costs add up to the cost of the path."""
    breaks: defaultdict[int, list[Cost]] = defaultdict(list)
    for now, rule in broken(solution.steps, solution.grips, solution.stretch_mm):
        breaks[now].append((rule, FINGERING[rule]))
    return tuple(_explanation(solution, now, breaks[now]) for now in range(len(solution.steps)))


def _explanation(solution: Solution, now: int, breaks: Iterable[Cost]) -> Explanation:
    turn = slice(None, None, solution.direction)
    shares = (
        sorted(sorted(votes.items()), key=itemgetter(1), reverse=True)
        for votes in solution.votes[now][turn]
    )
    return Explanation(
        now,
        solution.grips[now].fingers[turn],
        _by_rule([*_costs(solution, now), *breaks]),
        tuple(map(tuple, shares)),
    )


def _costs(solution: Solution, now: int) -> Iterable[Cost]:
    steps, path, stretch_mm = solution.steps, solution.grips, solution.stretch_mm
    yield from grip_costs(path[now], stretch_mm)
    yield from priced(around_amounts(path[now], *around(steps, now)))
    yield from priced(own_amounts(path[now], steps[now]))
    if now >= 1:
        before = left_by(path[now - 1], steps[now - 1])
        yield from move_costs(before, path[now], steps[now], stretch_mm)
    if now >= 2:
        factor = skip_pace(steps[now - 1], steps[now])
        first = left_by(path[now - 2], steps[now - 2])
        yield from skip_costs(first, path[now], factor, stretch_mm)
        yield from priced(after_two_amounts(first, path[now], steps[now]))


def _by_rule(costs: Iterable[Cost]) -> tuple[Cost, ...]:
    sums: defaultdict[str, float] = defaultdict(float)
    for rule, amount in costs:
        sums[rule] += amount
    charged = sorted((rule, cost) for rule, cost in sums.items() if cost)
    return tuple(sorted(charged, key=itemgetter(1), reverse=True))
