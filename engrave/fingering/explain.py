"""Why a fingering was chosen: what each choice costs, rule by rule, and what the others would.

Enters: steps and the grips of a path. Leaves: ``Explanation``s, for ``engrave check --why``.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from engrave.fingering.grips import Cost, Grip, grip_costs
from engrave.fingering.line import Step
from engrave.fingering.moves import move_costs, skip_costs, skip_pace


@dataclass(frozen=True, slots=True)
class Explanation:
    """What the fingers of one onset cost, given those of the two onsets before.

    ``onset`` is the index into the onsets given; ``fingers`` low to high; ``costs`` the rules that
    charged something, dearest first; ``cost`` their sum.
    """

    onset: int
    fingers: tuple[int, ...]
    costs: tuple[Cost, ...]

    @property
    def cost(self) -> float:
        """What the choice costs in all."""
        return sum(amount for _, amount in self.costs)

    def __str__(self) -> str:
        """``1-3-5: 2.3 (thumb-pass 1.3, weak-finger 1.0)``."""
        rules = ", ".join(f"{rule} {amount:.2f}" for rule, amount in self.costs)
        chord = "-".join(map(str, self.fingers))
        return f"{chord}: {self.cost:.2f}" + (f" ({rules})" if rules else "")


def explain_path(
    steps: Sequence[Step], path: Sequence[Grip], stretch_mm: float
) -> tuple[tuple[Cost, ...], ...]:
    """The costs of every grip of a path by rule, dearest first; their sum is the path's cost."""
    return tuple(_costs(steps, path, now, stretch_mm) for now in range(len(path)))


def _costs(
    steps: Sequence[Step], path: Sequence[Grip], now: int, stretch_mm: float
) -> tuple[Cost, ...]:
    grip = path[now]
    costs: list[Cost] = list(grip_costs(grip, stretch_mm))
    if now >= 1:
        costs += move_costs(path[now - 1], grip, steps[now], stretch_mm)
    if now >= 2:
        factor = skip_pace(steps[now - 1], steps[now])
        costs += skip_costs(path[now - 2], grip, factor, stretch_mm)
    return _by_rule(costs)


def _by_rule(costs: Iterable[Cost]) -> tuple[Cost, ...]:
    sums: defaultdict[str, float] = defaultdict(float)
    for rule, amount in costs:
        sums[rule] += amount
    return tuple(sorted(sums.items(), key=lambda cost: (-cost[1], cost[0])))
