"""What a step is part of, for which custom has fingers: repeated notes, trills, rows, basses.

Enters: steps. Leaves: the same, named as such. Which fingers they are stands in ``customs``.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from math import floor

from engrave.fingering.holding import holds
from engrave.fingering.step import Step
from engrave.music.notes import Hand
from engrave.music.onset import Onset

_RUN = 3
"""So many strikes of one key are repeated notes; of two, the hand may move between them."""
_TURNS = 0.26
"""Seconds: a key struck again and again as fast as this is taken by fingers in turn, slower by one
finger throughout."""


def with_turns(steps: Sequence[Step], onsets: Sequence[Onset]) -> tuple[Step, ...]:
    """The steps, those of repeated notes with the finger whose turn it is.

    4 3 2 1 from beat to beat, and 3 2 1 in triplets or where threes come out even: custom.
    """
    found = list(steps)
    first = 0
    for struck, same in groupby(steps, key=lambda step: step.struck):
        count = len(list(same))
        if count >= _RUN and len(struck) == 1:
            since = onsets[first + 1].time - onsets[first].time
            quick = steps[first + 1].seconds <= _TURNS
            threes = since.denominator % 3 == 0 or (count % 3 == 0 and count % 4 != 0)
            fingers = 3 if threes else 4
            before = onsets[first].metric / since
            for number in range(count):
                due = fingers - floor(before + number) % fingers if quick else 0
                found[first + number] = replace(steps[first + number], due=due)
        first += count
    return tuple(found)


_PAIRS = 3
"""So many keys struck twice, one after the other, are a row of pairs."""


def with_pairs(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, those named that are in rows of single keys each struck twice.

    Without haste one finger takes both strokes.
    """
    found = list(steps)
    quick: list[bool | None] = []
    for struck, same in groupby(steps, key=lambda step: step.struck):
        strokes = list(same)
        pair = len(strokes) == 2 and len(struck) == 1
        quick += [strokes[1].seconds <= _TURNS if pair else None] * len(strokes)
    first = 0
    for is_quick, row in groupby(quick):
        count = len(list(row))
        if is_quick is not None and count >= 2 * _PAIRS:
            for number in range(first, first + count):
                due = None if is_quick else 0
                key = 1 if number < first + 2 else 2
                found[number] = replace(steps[number], due=due, pair=key)
        first += count
    return tuple(found)


_TRILL = 6
"""So many strokes of two neighbouring keys in turn are a trill."""


def with_trills(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, those of trills named as such."""
    found = list(steps)
    again = [
        here.struck == there.struck and _is_second(here, beside)
        for here, beside, there in zip(steps, steps[1:], steps[2:], strict=False)
    ]
    first = 0
    for comes, same in groupby(again):
        count = len(list(same)) + 2
        if comes and count >= _TRILL:
            for number in range(first, first + count):
                found[number] = replace(steps[number], trill=True)
        first += count - 2
    return tuple(found)


def with_rows(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, those named that are the third of three keys that rise or fall by step."""
    found = list(steps)
    ways = [_way(here, there) for here, there in pairwise(steps)]
    for number, way in enumerate(ways):
        if number and way and way == ways[number - 1]:
            found[number + 1] = replace(steps[number + 1], row=True)
    return tuple(found)


def with_figured_turns(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, those named of even turns: a key comes back after one neighbour, then the other.

    Where a run comes to the key and goes back, or begins with the turn, the hand may be anywhere on
    its way.
    """
    found = list(steps)
    ways = [0, *(_way(here, there) for here, there in pairwise(steps)), 0]
    for number in range(len(steps) - 3):
        to, away, back, on, further = ways[number : number + 5]
        again = steps[number].struck == steps[number + 2].struck
        even = len({step.seconds for step in steps[number + 1 : number + 4]}) == 1
        turns = away and again and on == back
        if turns and even and to != away and further != on:
            found[number + 2] = replace(found[number + 2], main=True)
            found[number + 3] = replace(found[number + 3], rounded=True)
    return tuple(found)


def _way(here: Step, there: Step) -> int:
    """1 or -1 where a single key is followed by its neighbour above or below, else 0."""
    if not _is_second(here, there):
        return 0
    (start,), (end,) = here.struck, there.struck
    return 1 if end > start else -1


_FURTHER_IN = 3
"""Semitones between a key and the chord that follows, from which it is the chord's bass."""


def with_basses(steps: Sequence[Step], stretch_mm: float) -> tuple[Step, ...]:
    """The steps, those named ``outer`` from which the hand closes in on a chord."""
    found = list(steps)
    for number, (here, there) in enumerate(pairwise(steps)):
        if len(here.struck) == 1 and len(there.struck) > 1 and not here.held:
            (bass,) = here.struck
            further_in = bass - max(there.struck) >= _FURTHER_IN
            if further_in and holds((*there.struck, bass), Hand.RIGHT, stretch_mm):
                found[number] = replace(here, outer=True)
    return tuple(found)


def _is_second(here: Step, beside: Step) -> bool:
    """Whether both are single keys, side by side."""
    if not len(here.struck) == len(beside.struck) == 1:
        return False
    (start,), (end,) = here.struck, beside.struck
    return 0 < abs(end - start) <= 2
