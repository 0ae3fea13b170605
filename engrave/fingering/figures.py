"""Figures that come again: the same keys in another octave, or the same shape on other steps.

Enters: steps. Leaves: groups of onsets that are to have the same fingers. Pianists finger a figure
alike wherever it comes back with the same black and white keys.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from operator import ge, le

from engrave.fingering.keyboard import is_black, white_keys_between
from engrave.fingering.step import Step

Group = tuple[int, ...]
"""Numbers of the steps that belong together, rising."""

SIDE = 2
"""How many onsets before and after must be alike."""
_CLOSER = 4
"""What is alike so far around is tied first: it is what a player would know again."""
_SIDES = ((2, 0), (0, 2), (1, 1))
"""How many onsets before and after are alike where no whole figure comes again."""
_CELLS = (2, 3, 4)
"""So many onsets that are struck again at once are known again whatever stands around them."""
_LONGEST_RUN = 32
"""A run in one direction is a figure only together with where it turns; so far it is looked for."""

_Cell = tuple[tuple[tuple[int, bool], ...], tuple[tuple[int, bool], ...]]
"""The struck and the held keys of a step as seen from its lowest struck key: how many white keys
away each is, or lies beside, and its colour."""


def groups_of(steps: Sequence[Step]) -> tuple[Group, ...]:
    """All groups of two and more steps that stand in like surroundings in figures that come again.

    Like are the struck and the held keys, white and black in the same places, of the onset, the two
    before and the two after. A line that only rises or falls is like itself a step further on, and
    in a sequence of scales the same keys stand elsewhere in the figure; it counts only together
    with where it turns, or where four onsets on either side are the same keys, in any octave. So
    does one key struck again and again, with where it began or ends.
    Two to four keys or chords that come again at once, as in a trill or a broken chord, are a
    figure by themselves: each keeps its fingers. Neighbours are never in one group.
    """
    ties = _Ties(list(range(len(steps))), {number: [number] for number in range(len(steps))})
    first: dict[object, int] = {}
    for side in (_CLOSER, SIDE):
        for number, signature in _signatures(steps, side):
            ties.tie(first.setdefault((side, signature), number), number)
    for number, again in _alternating(steps):
        ties.tie(number, again)
    groups = (tuple(sorted(group)) for group in ties.members.values() if len(group) > 1)
    return tuple(sorted(groups))


def _alternating(steps: Sequence[Step]) -> Iterator[tuple[int, int]]:
    """Steps that strike the same as one before, where so much comes again at once.

    Whole cells alone: what ends one does not begin the next, though it may strike the same.
    """
    struck = [step.struck for step in steps]
    for size in _CELLS:
        again = [here == there for here, there in zip(struck, struck[size:], strict=False)]
        taken: set[int] = set()
        for comes, stretch in groupby(range(len(again)), key=again.__getitem__):
            places = [number for number in stretch if number not in taken]
            whole = places[: len(places) // size * size]
            if comes and len({struck[number] for number in whole}) > 1:
                taken.update(number + size for number in whole)
                yield from ((number, number + size) for number in whole)


def likenesses(steps: Sequence[Step]) -> Iterator[Group]:
    """Groups of steps that strike the same keys, in any octave, with like keys to one side."""
    for before, after in _SIDES:
        found: dict[object, list[int]] = defaultdict(list)
        for number in range(before, len(steps) - after):
            octave = min(steps[number].struck) // 12 * 12
            around = steps[number - before : number + after + 1]
            found[tuple(tuple(key - octave for key in step.struck) for step in around)].append(
                number
            )
        yield from (tuple(group) for group in found.values() if len(group) > 1)


def parted(steps: Sequence[Step], groups: Sequence[Group]) -> tuple[Group, ...]:
    """The groups, those parted in which fingers that are given nearby ask for other fingers.

    Two members stay together as long as they agree, or each agrees with one that does.
    """
    found: list[Group] = []
    for group in groups:
        parts: list[list[int]] = []
        for number in group:
            agreed = [part for part in parts if any(_agree(steps, n, number) for n in part)]
            parts = [part for part in parts if part not in agreed]
            parts.append(sorted([number, *(n for part in agreed for n in part)]))
        found += [tuple(part) for part in parts if len(part) > 1]
    return tuple(found)


_NEAR = 3
"""So many onsets before and after, fingers that are given say what a given finger is good for."""


def _agree(steps: Sequence[Step], one: int, other: int) -> bool:
    """Whether the fingers that are given at two steps and near them leave them the same finger.

    A finger that is given to a key which only one of them has beside it asks for its own.
    """
    numbers = range(len(steps))
    for off in range(-_NEAR, _NEAR + 1):
        if one + off not in numbers or other + off not in numbers:
            continue
        here, there = steps[one + off].fixed, steps[other + off].fixed
        if not any((*here, *there)):
            continue
        if _away(steps, one, off) != _away(steps, other, off):
            return False
        if any(a and b and a != b for a, b in zip(here, there, strict=False)):
            return False
    return True


def _away(steps: Sequence[Step], number: int, off: int) -> int:
    """How many white keys from a step's lowest key that of one near it lies."""
    low, other = steps[number].struck[0], steps[number + off].struck[0]
    return _white_keys_below(other) - _white_keys_below(low)


def _white_keys_below(key: int) -> int:
    return white_keys_between(0, key)


def with_given(steps: Sequence[Step], groups: Sequence[Group]) -> tuple[Step, ...]:
    """The steps, a finger that is given at one of a group fixed at the others, the first first."""
    found = list(steps)
    for group in groups:
        given: dict[int, int] = {}
        for number in group:
            for place, finger in enumerate(steps[number].fixed):
                if finger:
                    given.setdefault(place, finger)
        if not given:
            continue
        for number in group:
            if not any(steps[number].fixed):
                places = range(len(steps[number].fixed))
                found[number] = replace(found[number], fixed=tuple(map(given.get, places)))
    return tuple(found)


@dataclass(slots=True)
class _Ties:
    """Which group every step is in, by the group's name, and who is in it."""

    group: list[int]
    members: dict[int, list[int]]

    def tie(self, one: int, other: int) -> None:
        """Put both in one group, unless neighbours would come together."""
        a, b = self.group[one], self.group[other]
        if a == b:
            return
        b, a = sorted((a, b), key=lambda group: len(self.members[group]))
        if any(
            beside in range(len(self.group)) and self.group[beside] == a
            for number in self.members[b]
            for beside in (number - 1, number + 1)
        ):
            return
        for number in self.members[b]:
            self.group[number] = a
        self.members[a] += self.members.pop(b)


def recurrences(steps: Sequence[Step]) -> Iterator[tuple[int, int]]:
    """Every onset that stands in a figure that has come before, and the first and last like it."""
    first: dict[object, int] = {}
    last: dict[object, int] = {}
    for number, signature in _signatures(steps, SIDE):
        known = first.setdefault(signature, number)
        if known != number:
            yield number, known
            yield number, last[signature]
        last[signature] = number


def _signatures(steps: Sequence[Step], side: int) -> Iterator[tuple[int, object]]:
    """What every onset is to have in common with another to be like it; several ways to be.

    The same keys, the same shape, or a run from where it turns, or to where.
    """
    cells, jumps = _cells(steps)
    lows = [step.struck[0] for step in steps]
    runs, again = _runs(lows), _repeated(steps)
    for number in range(side, len(steps) - side):
        start, last = number - side, number + side
        end = last + 1
        if len({step.struck for step in steps[start:end]}) == 1:
            low, high, turns = *again[number], False
        else:
            shape = (cells[start:end], jumps[start + 1 : end])
            low, high = runs[number]
            turns = low > start or high < last
            if turns or side > SIDE:
                yield number, (shape, lows[number] % 12)
        if turns:
            yield number, shape
        elif high - low <= _LONGEST_RUN:
            if low:
                turn = (cells[low - 1 : end], jumps[low:end])
                yield number, ("from its turn", number - low, turn)
            turn = (cells[start : high + 2], jumps[start + 1 : high + 2])
            yield number, ("to its turn", high - number, turn)


def _repeated(steps: Sequence[Step]) -> list[tuple[int, int]]:
    """For every step the first and last step of the stretch around it that strikes the same."""
    found: list[tuple[int, int]] = []
    for _, stretch in groupby(steps, key=lambda step: step.struck):
        count = sum(1 for _ in stretch)
        first = len(found)
        found += [(first, first + count - 1)] * count
    return found


def _cells(steps: Sequence[Step]) -> tuple[tuple[_Cell, ...], tuple[int, ...]]:
    """Every step's cell, and how many white keys its lowest is from that of the step before."""
    known: dict[tuple[tuple[int, ...], tuple[int, ...]], _Cell] = {}
    lows = [_white_keys_below(min(step.struck)) for step in steps]
    for step, low in zip(steps, lows, strict=True):
        if (step.struck, step.held) not in known:
            known[step.struck, step.held] = _places(step.struck, low), _places(step.held, low)
    cells = tuple(known[step.struck, step.held] for step in steps)
    return cells, tuple(after - before for before, after in pairwise([*lows[:1], *lows]))


def _places(keys: Sequence[int], low: int) -> tuple[tuple[int, bool], ...]:
    return tuple((_white_keys_below(key) - low, is_black(key)) for key in keys)


def _runs(lows: Sequence[int]) -> list[tuple[int, int]]:
    """For every step the first and last step of the longer stretch around it in one direction."""
    widest = [(number, number) for number in range(len(lows))]
    for goes_on in (ge, le):
        steps = enumerate(pairwise(lows), start=1)
        turns = [number for number, (before, after) in steps if not goes_on(after, before)]
        for start, end in pairwise([0, *turns, len(lows)]):
            for inside in range(start, end):
                low, high = widest[inside]
                if end - start > high + 1 - low:
                    widest[inside] = start, end - 1
    return widest
