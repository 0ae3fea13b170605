"""Why a fingering was chosen: what each choice costs, rule by rule, and what the others would.

Enters: a solved line. Leaves: ``Explanation``s, for ``engrave check --why``.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from engrave.fingering.grips import grip_costs
from engrave.fingering.moves import move_costs, skip_costs, skip_pace
from engrave.fingering.search import at_best
from engrave.fingering.solution import Solution
from engrave.fingering.spans import Cost, total


@dataclass(frozen=True, slots=True)
class Explanation:
    """What the fingers of one onset cost, given those of the two onsets before.

    ``onset`` is the index into the onsets given; ``fingers`` low to high; ``costs`` the rules that
    charged something, dearest first. ``others``: every other choice with what the cheapest
    fingering of the whole line by way of it would cost more, cheapest first.
    """

    onset: int
    fingers: tuple[int, ...]
    costs: tuple[Cost, ...]
    others: tuple[tuple[tuple[int, ...], float], ...]

    @property
    def cost(self) -> float:
        """What the choice costs in all."""
        return total(self.costs)

    def __str__(self) -> str:
        """``1-3-5: 2.30 (pass-3 1.30, weak-finger 1.00); 1-2-5 +0.70``."""
        rules = ", ".join(f"{rule} {amount:.2f}" for rule, amount in self.costs)
        text = f"{_chord(self.fingers)}: {self.cost:.2f}" + (f" ({rules})" if rules else "")
        others = ", ".join(f"{_chord(fingers)} {more:+.2f}" for fingers, more in self.others[:2])
        return f"{text}; {others}" if others else text


def _chord(fingers: tuple[int, ...]) -> str:
    return "-".join(map(str, fingers))


def explanations(solution: Solution) -> tuple[Explanation, ...]:
    """One explanation an onset; their costs add up to the cost of the path."""
    best = at_best(solution.net)
    return tuple(_explanation(solution, now, best[now]) for now in range(len(solution.steps)))


def _explanation(solution: Solution, now: int, best: Sequence[float]) -> Explanation:
    chosen = solution.grips[now]
    more: dict[tuple[int, ...], float] = {}
    for grip, cost in zip(solution.choices[now], best, strict=True):
        if grip.fingers != chosen.fingers:
            extra = cost - solution.cost
            more[grip.fingers] = min(extra, more.get(grip.fingers, extra))
    turn = slice(None, None, solution.direction)
    return Explanation(
        now,
        chosen.fingers[turn],
        _by_rule(_costs(solution, now)),
        tuple((fingers[turn], more[fingers]) for fingers in sorted(more, key=more.__getitem__)),
    )


def _costs(solution: Solution, now: int) -> Iterable[Cost]:
    steps, path, stretch_mm = solution.steps, solution.grips, solution.stretch_mm
    yield from grip_costs(path[now], stretch_mm)
    yield "figure-alike", solution.unlike[now][solution.path[now]]
    if now >= 1:
        yield from move_costs(path[now - 1], path[now], steps[now], stretch_mm)
    if now >= 2:
        factor = skip_pace(steps[now - 1], steps[now])
        yield from skip_costs(path[now - 2], path[now], factor, stretch_mm)


def _by_rule(costs: Iterable[Cost]) -> tuple[Cost, ...]:
    sums: defaultdict[str, float] = defaultdict(float)
    for rule, amount in costs:
        sums[rule] += amount
    charged = [cost for cost in sums.items() if cost[1]]
    return tuple(sorted(charged, key=lambda cost: (-cost[1], cost[0])))
