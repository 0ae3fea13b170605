"""Learn the weights of the fingering from printed digits; the handbooks hold it in bounds.

``python -m tests.hand.fit PATH [--write]`` reads prints as ``printed.py`` says, fits, and prints
what the composers kept aside say of it. The model is log-linear: a fingering is the less likely the
more it costs by the rules. The printed digits are sparse, so all other fingers are summed over: the
likelihood of the digits is that of all paths through them against that of all paths, forward and
backward over two onsets, and its gradient what either expects of every rule. A prior holds weights
near those that stand in ``costs.py``, rules of one family near each other. Scales and arpeggios of
the handbooks are fitted with the rest, as a bound: what ``handbook.py`` says of them afterwards is
no test of what was learned. The rules that bind whatever the model are left out: learned around
them, the weights only tried to make up for printed fingers that break one.

``--write`` puts the weights into ``engrave/fingering/learned.py``. Everything is chosen, and
measured, without the composers kept aside; ``--all`` learns from them too, as the weights in the
code do. On 1102 and 2656 digits the share matched on composers kept aside was 59.9 and 62.3: more
digits help.
"""

import argparse
import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from scipy import sparse
from scipy.optimize import minimize

from engrave.fingering import costs, customs
from engrave.fingering.costs import RULES
from engrave.fingering.grips import Grip, grip_amounts, grip_cost, grips_of
from engrave.fingering.line import steps_of
from engrave.fingering.moves import (
    joined_amounts,
    lifted_amounts,
    lowest,
    pace,
    position_amounts,
    skip_pace,
    slides,
    whole_amounts,
)
from engrave.fingering.step import Step
from engrave.fingering.surroundings import around, around_amounts
from engrave.music.notes import STRETCH_MM, Hand
from tests.hand.classes import shares, shown
from tests.hand.forgetting import forget_costs
from tests.hand.handbook import Line, arpeggios, chromatic, scales
from tests.hand.lines import keys_line
from tests.hand.printed import (
    TEMPO,
    Digits,
    Print,
    by_passages,
    by_rules_of_1997,
    read,
    whole,
)

RULE = {name: number for number, name in enumerate(RULES)}
START = np.array([rule.start for rule in RULES.values()])
CHOICES = 10
"""So many grips of an onset are looked at, the cheapest before learning."""
CONTEXT = 10
"""Onsets on either side of a printed digit that its likelihood is taken over."""
HANDBOOKS, MISSED = 1.0, 3.0
"""How much a digit of the handbooks weighs against a printed one, and one of a line missed. Of 100
printed digits of the training composers, each third learned without, 61.6 are matched at 3, 62.5 at
1, 63.0 at 0.3. But prints have digits where fingers are not obvious, and where handbooks weigh
little what is obvious is forgotten: at 0.3, D F D F as 3 5 2 5."""
ROUNDS, MISSES = 12, {"scale": 2, "arpeggio": 1}
"""How often lines of the handbooks that are missed are given more weight, and how many may be."""
STRENGTH, OWN_STRENGTH, AROUND_STRENGTH = 10.0, 10.0, 80.0
"""How strongly weights are held to where they start: new ones, those that have a start, and those
of what lies around."""
AROUND = ("outside-before-", "inside-before-", "outside-after-", "inside-after-")
FORBIDDEN = 1e3

Array = Any
Amounts = Sequence[tuple[str, float]]


class Rows:
    """Amounts by rule for every different key, as a sparse matrix."""

    def __init__(self, amounts: Callable[..., Iterator[tuple[str, float]] | Amounts]) -> None:
        self.amounts = amounts
        self.known: dict[Any, int] = {}

    def __call__(self, *key: Any) -> int:
        return self.known.setdefault(key, len(self.known))

    def matrix(self) -> Array:
        entries = [
            (row, RULE[rule], amount)
            for key, row in self.known.items()
            for rule, amount in self.amounts(*key)
            if amount
        ]
        return _sparse(entries, (len(self.known), len(RULES)))


def _sparse(entries: Sequence[tuple[int, int, float]], shape: tuple[int, int]) -> Array:
    rows, columns, values = zip(*entries, strict=True) if entries else ((), (), ())
    return sparse.csr_matrix((values, (rows, columns)), shape=shape, dtype=float)


@dataclass
class Stretch:
    """A part of a line around printed digits: its first step in the arrays, how many."""

    first: int
    count: int


class Lines:
    """Lines of many prints as arrays: for each step up to ``CHOICES`` grips and what they meet."""

    def __init__(self, prints: Sequence[Print], tempo: float, weight: float = 1.0) -> None:
        self.weight = weight
        self.grips: list[tuple[Grip, ...]] = []
        self.stretches: list[Stretch] = []
        self.free: list[Array] = []
        self.given: list[Array] = []
        self.own_rows: list[list[int]] = []
        self._around: list[tuple[int, int, float]] = []
        self.own = Rows(lambda grip: grip_amounts(grip, STRETCH_MM))
        self.joined = Rows(
            lambda a, b, c, d, chords: joined_amounts(a, b, c, d, STRETCH_MM, chords)
        )
        self.skipped = Rows(lambda a, b, c, d: position_amounts(a, b, c, d, STRETCH_MM))
        self._moves: list[tuple[int, int, float]] = []
        self._skips: list[tuple[int, int, float]] = []
        self._extra: list[tuple[int, int, float]] = []
        self._fixed: list[tuple[int, float]] = []
        for each in prints:
            self._add(each, tempo)
        self._finish()

    def _add(self, each: Print, tempo: float) -> None:
        steps = steps_of(each.onsets, each.hand, tempo)
        near = sorted(
            {
                seen
                for number, digits in enumerate(each.digits)
                if any(digits)
                for seen in range(max(0, number - CONTEXT), number + CONTEXT + 1)
                if seen < len(steps)
            }
        )
        for place, number in enumerate(near):
            if not place or near[place - 1] != number - 1:
                self.stretches.append(Stretch(len(self.grips), 0))
            stretch = self.stretches[-1]
            digits = each.digits[number][:: 1 if each.hand is Hand.RIGHT else -1]
            self._add_step(steps, number, digits, stretch.count)
            stretch.count += 1

    def _add_step(self, steps: Sequence[Step], number: int, digits: Digits, before: int) -> None:
        step, here = steps[number], len(self.grips)
        grips = grips_of(step, STRETCH_MM)
        grips = tuple(sorted(grips, key=lambda g: grip_cost(g, STRETCH_MM))[:CHOICES])
        self.grips.append(grips)
        free = np.arange(CHOICES) < len(grips)
        agree = [_agrees(grip, digits) for grip in grips]
        given = free & np.array(agree + [False] * (CHOICES - len(grips)))
        self.free.append(free)
        self.given.append(given if given.any() else free)
        self.own_rows.append([self.own(g) for g in grips] + [0] * (CHOICES - len(grips)))
        self._around += [
            (here * CHOICES + k, RULE[rule], amount)
            for k, grip in enumerate(grips)
            for rule, amount in (
                *around_amounts(grip, *around(steps, number)),
                *customs.own_amounts(grip, step),
            )
        ]
        if before >= 1:
            self._add_moves(step, here)
        if before >= 2:
            self._add_skips(skip_pace(steps[number - 1], step), here)

    def _add_moves(self, step: Step, here: int) -> None:
        hurry = pace(step)
        for cell, a, b in self._pairs(here, 1):
            chords = len(a.struck) > 1 and len(b.struck) > 1
            share = hurry / (len(a.struck) * len(b.struck))
            for start, first in a.struck:
                for end, second in b.struck:
                    row = self.joined(*lowest(start, end), first, second, chords)
                    self._moves.append((cell, row, share))
            for rule, amount in whole_amounts(a, b, step):
                if amount == float("inf"):
                    self._fixed.append((cell, FORBIDDEN))
                else:
                    self._extra.append((cell, RULE[rule], amount))

    def _add_skips(self, factor: float, here: int) -> None:
        if not factor:
            return
        for cell, a, b in self._pairs(here, 2):
            share = factor / (len(a.struck) * len(b.struck))
            for start, first in a.struck:
                for end, second in b.struck:
                    row = self.skipped(*lowest(start, end), first, second)
                    self._skips.append((cell, row, share))

    def _pairs(self, here: int, back: int) -> Iterator[tuple[int, Grip, Grip]]:
        for k, after in enumerate(self.grips[here]):
            for j, before in enumerate(self.grips[here - back]):
                yield (here * CHOICES + k) * CHOICES + j, before, after

    def _finish(self) -> None:
        cells = len(self.grips) * CHOICES * CHOICES
        self.move_rows = _sparse(self._moves, (cells, len(self.joined.known)))
        self.skip_rows = _sparse(self._skips, (cells, len(self.skipped.known)))
        self.extra = _sparse(self._extra, (cells, len(RULES)))
        self.around = _sparse(self._around, (len(self.grips) * CHOICES, len(RULES)))
        self.fixed = np.zeros(cells)
        for cell, charge in self._fixed:
            self.fixed[cell] += charge
        del self._moves, self._skips, self._extra, self._fixed, self._around
        self.J, self.P, self.O = self.joined.matrix(), self.skipped.matrix(), self.own.matrix()
        lifts = Rows(lambda *key: lifted_amounts(*key[:2]))
        for key in self.joined.known:
            lifts(*key)
        self.L = lifts.matrix()
        self.unlifted = np.array(
            [a == b or (c == d and not chords and slides(a, b))
             for a, b, c, d, chords in self.joined.known]
        )  # fmt: skip
        self.mask = {True: np.array(self.given), False: np.array(self.free)}
        self.rows = np.array(self.own_rows)
        ordered = sorted(self.stretches, key=lambda s: s.count)
        self.batches = [ordered[i : i + 64] for i in range(0, len(ordered), 64)]

    def costs(self, w: Array) -> tuple[Array, Array, Array, Array]:
        """What every grip, move and skip costs, and which moves are made by lifting the hand."""
        joined, lifted = self.J @ w, self.L @ w
        lifts = (lifted < joined) & ~self.unlifted
        moves = self.move_rows @ np.where(lifts, lifted, joined) + self.extra @ w + self.fixed
        skips = self.skip_rows @ (self.P @ w)
        shape = len(self.grips), CHOICES, CHOICES
        own = (self.O @ w)[self.rows] + (self.around @ w).reshape(self.rows.shape)
        return own, moves.reshape(shape), skips.reshape(shape), lifts

    def loss(self, w: Array) -> tuple[float, Array]:
        """Minus the log-likelihood of the digits, and its gradient."""
        costs = self.costs(w)
        every, through = self._sums(costs, False), self._sums(costs, True)
        gradient = self._met(through, costs[3]) - self._met(every, costs[3])
        return self.weight * (every[0] - through[0]), self.weight * gradient

    def shares(self, w: Array) -> Array:
        """For each step and grip its share among all paths."""
        return self._sums(self.costs(w), False)[1]

    def _met(self, sums: tuple[float, Array, Array, Array], lifts: Array) -> Array:
        """How much of every rule is expected."""
        _, own, moves, skips = sums
        by_grip = np.bincount(self.rows.ravel(), own.ravel(), len(self.own.known))
        by_move = self.move_rows.T @ moves.ravel()
        return (
            self.O.T @ by_grip
            + self.J.T @ np.where(lifts, 0.0, by_move)
            + self.L.T @ np.where(lifts, by_move, 0.0)
            + self.extra.T @ moves.ravel()
            + self.P.T @ (self.skip_rows.T @ skips.ravel())
            + self.around.T @ own.ravel()
        )

    def _sums(
        self, costs: tuple[Array, Array, Array, Array], given: bool
    ) -> tuple[float, Array, Array, Array]:
        """The log of the sum over all paths, and the shares of grips, moves and skips."""
        own, moves, skips, _ = costs
        mask = self.mask[given]
        least = np.where(mask, own, np.inf).min(1)
        grips = np.where(mask, np.exp(least[:, None] - own), 0.0)
        likely = grips, np.exp(-moves), np.exp(-skips)
        found = np.zeros_like(grips), np.zeros_like(moves), np.zeros_like(skips)
        total = -least.sum()
        for batch in self.batches:
            total += _batch(batch, likely, found)
        return total, *found


def _agrees(grip: Grip, digits: Digits) -> bool:
    return all(d in (None, f) for d, f in zip(digits, grip.fingers, strict=True))


def _batch(
    batch: Sequence[Stretch], likely: tuple[Array, Array, Array], found: tuple[Array, Array, Array]
) -> float:
    """Forward and backward through stretches side by side; shares go into ``found``."""
    grip, move, skip = likely
    starts = np.array([stretch.first for stretch in batch])
    counts = np.array([stretch.count for stretch in batch])
    forward, total = [], 0.0
    a = np.zeros((len(batch), CHOICES, CHOICES))
    for t in range(counts.max()):
        at, on = starts + np.minimum(t, counts - 1), (counts > t)
        if t == 0:
            new = np.zeros_like(a)
            new[:, :, 0] = grip[at]
        elif t == 1:
            new = grip[at][:, :, None] * move[at] * a[:, None, :, 0]
        else:
            new = (skip[at] @ a.swapaxes(1, 2)) * move[at] * grip[at][:, :, None]
        a = np.where(on[:, None, None], new, a)
        sums = np.maximum(a.sum((1, 2)), 1e-300)
        total += float(np.log(sums)[on].sum())
        a = a / sums[:, None, None]
        forward.append(a)
    b = np.ones_like(a)
    for t in range(counts.max() - 1, -1, -1):
        at, on = starts + np.minimum(t, counts - 1), counts > t
        b = np.where((counts == t + 1)[:, None, None], 1.0, b)
        both = _normal(forward[t] * b)
        found[0][at[on]] = both[on].sum(2)
        if t == 0:
            break
        found[1][at[on]] = both[on]
        onwards = move[at] * grip[at][:, :, None] * b
        if t >= 2:
            found[2][at[on]] = _normal((onwards @ forward[t - 1]) * skip[at])[on]
            back = onwards.swapaxes(1, 2) @ skip[at]
        else:
            back = np.repeat(onwards.sum(1)[:, :, None], CHOICES, 2)
        back = back / np.maximum(back.max((1, 2)), 1e-300)[:, None, None]
        b = np.where(on[:, None, None], back, b)
    return total


def _normal(x: Array) -> Array:
    return x / np.maximum(x.sum((1, 2)), 1e-300)[:, None, None]


def precision() -> Array:
    """How strongly, and with whom, every weight is held to where it starts."""
    families = defaultdict(list)
    for name in RULES:
        families[re.sub(r"\d+$", "", name)].append(RULE[name])
    found = np.zeros((len(RULES), len(RULES)))
    for family, members in families.items():
        new = 1 / (AROUND_STRENGTH if family in AROUND else STRENGTH)
        loose = [max(0.3, START[i] / 2) ** 2 / OWN_STRENGTH if START[i] else new for i in members]
        together = np.mean(loose) if len(members) > 1 else 0.0
        covariance = np.diag(loose) + together
        found[np.ix_(members, members)] = np.linalg.inv(covariance)
    return found


def fit(parts: Sequence[Lines], start: Array, rounds: int = 60) -> Array:
    """The weights that make the digits of all parts likeliest, under the prior and the bounds."""
    hold = precision()
    bounds = [(rule.start, rule.start) if rule.binding else (rule.least, None)
              for rule in RULES.values()]  # fmt: skip

    def loss(w: Array) -> tuple[float, Array]:
        pull = hold @ (w - START)
        values, gradients = zip(*(part.loss(w) for part in parts), strict=True)
        return sum(values) + 0.5 * (w - START) @ pull, sum(gradients) + pull

    return minimize(loss, start, jac=True, method="L-BFGS-B", bounds=bounds,
                    options={"maxiter": rounds, "maxcor": 20}).x  # fmt: skip


def handbook_lines() -> list[Line]:
    """Scales, arpeggios and chromatic scales."""
    return [*scales(), *arpeggios(), *map(chromatic, Hand)]


def handbooks(lines: Sequence[Line], weight: float) -> Lines:
    """Lines of the handbooks with their fingers, ends of scales and 3 for 4 left open."""
    prints = []
    for line in lines:
        count, top = len(line.keys), len(line.wanted) - 1
        digits: list[Digits] = [(None,)] * count
        for number, finger in enumerate(map(int, line.wanted)):
            open_ = number in (0, top) if line.kind == "scale" else number > 0 and finger in (3, 4)
            if not open_:
                digits[number] = digits[count - 1 - number] = (finger,)
        prints.append(Print("handbooks", line.hand, keys_line(line.keys, line.hand), tuple(digits)))
    return Lines(prints, 80, weight)


def fit_held(prints: Sequence[Print]) -> Array:
    """The weights; lines of the handbooks that are missed weigh more, round after round."""
    parts = [Lines(prints, float(TEMPO)), handbooks(handbook_lines(), HANDBOOKS)]
    w = START
    for turn in range(ROUNDS):
        w = fit(parts, w, 30 if turn else 60)
        use(w)
        missed = [line for line in handbook_lines() if line.misses(line.computed())]
        print("missed:", *(f"{line.kind} {line.key} {line.hand};" for line in missed), flush=True)
        if all(sum(m.kind == kind for m in missed) <= most for kind, most in MISSES.items()):
            break
        parts.append(handbooks(missed, MISSED))
    return w


def use(w: Array) -> None:
    """Let the model go by these weights from now on."""
    for name, number in RULE.items():
        costs.FINGERING[name] = float(w[number])
    forget_costs()


def write(w: Array, path: Path) -> None:
    """The weights as a module, below the head that it has: it names whose fingers they are."""
    head = path.read_text("utf-8").partition("= {\n")[0] + "= {\n"
    lines = [f'    "{name}": {w[number]:.3f},' for name, number in RULE.items()
             if not RULES[name].binding]  # fmt: skip
    path.write_text(head + "\n".join(lines) + "\n}\n", encoding="utf-8")


def main() -> None:
    """Fit on all but those kept aside, or on all, and write if asked to."""
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    words.add_argument("path", type=Path, metavar="PATH")
    words.add_argument("--all", action="store_true", help="those kept aside as well")
    words.add_argument("--write", action="store_true", help="put the weights into the code")
    given = words.parse_args()
    prints = list(read(given.path))
    w = fit_held([each for each in prints if given.all or not each.aside])
    for name, number in RULE.items():
        print(f"{name:24} {START[number]:8.3f} {w[number]:8.3f}")
    aside = [each for each in prints if each.aside and not given.all]
    for how in (whole, by_passages, by_rules_of_1997) if aside else ():
        print(how.__name__, shown(shares(aside, how)), sep=": ", flush=True)
    if given.write:
        write(w, Path("engrave/fingering/learned.py"))


if __name__ == "__main__":
    main()
