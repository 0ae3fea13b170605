"""A hand's onsets as the fingering sees them: keys, seconds and fixed fingers, one hand for both.

Enters: onsets of one hand. Leaves: ``Step``s for a right hand: a left hand's keys are mirrored
about D, where the keyboard is its own mirror. Knows no costs.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from engrave.errors import EngraveError
from engrave.fingering.holding import holds, let_go
from engrave.fingering.keyboard import Key, midi_of, mirrored
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.onset import Onset

_EIGHTH = Fraction(1, 2)
_DETACHED = {"staccato", "staccatissimo", "spiccato"}


class FingeringError(EngraveError):
    """Fixed fingers that no hand can take; ``onset`` is the index into the onsets given."""

    def __init__(self, message: str, onset: int, hint: str = "") -> None:
        super().__init__(message, hint=hint)
        self.onset = onset


@dataclass(frozen=True, slots=True)
class Step:
    """What a right hand does at one onset.

    ``struck`` and ``held`` are keys (MIDI), low to high; ``fixed`` the finger that each struck key
    must have, ``changes`` the one that then takes it over silently; ``seconds`` have passed since
    the onset before, the last ``silence`` of them with no key down. ``joined``: no rest and no
    staccato lies before it; ``quick``: at the pace of eighths or faster. ``due``: where one key is
    struck three times and more, the finger whose turn it is, or 0 where one takes it throughout.
    ``trill``: it is a stroke of one. ``outer``: a chord further in follows, within the hand.
    ``row``: it is the third of three keys that rise or fall by step.
    """

    struck: tuple[int, ...]
    held: tuple[int, ...]
    fixed: tuple[int | None, ...]
    seconds: float
    silence: float
    joined: bool = False
    quick: bool = False
    changes: tuple[int | None, ...] = ()
    due: int | None = None
    trill: bool = False
    outer: bool = False
    row: bool = False


def step_key(pitch: Key, hand: Hand) -> int:
    """The key as a right hand's: mirrored for the left."""
    return midi_of(pitch) if hand is Hand.RIGHT else mirrored(pitch)


def steps_of(
    onsets: Sequence[Onset],
    hand: Hand,
    quarters_per_minute: Fraction | float,
    stretch_mm: float = STRETCH_MM,
) -> tuple[Step, ...]:
    """The onsets as a right hand's steps; two voices that strike one key strike it once.

    A key that is printed as held beyond what the hand can keep while it strikes others counts as
    let go, for good: the pedal holds it.
    """
    second = 60 / float(quarters_per_minute)
    steps: list[Step] = []
    sounding: dict[int, Fraction] = {}
    for number, onset in enumerate(onsets):
        struck, changes = _struck(onset, number, hand)
        last_end = max(sounding.values(), default=onset.time)
        since = onset.time - onsets[number - 1].time if number else Fraction(0)
        keys = tuple(sorted(struck))
        sounding = {key: end for key, end in sounding.items() if end > onset.time}
        for key in let_go(keys, tuple(sorted(sounding)), Hand.RIGHT, stretch_mm):
            del sounding[key]
        steps.append(
            Step(
                keys,
                tuple(sorted(set(sounding) - set(keys))),
                tuple(struck[key] for key in keys),
                float(since) * second,
                max(float(onset.time - last_end), 0.0) * second,
                joined=number > 0 and last_end >= onset.time and not _detached(onsets[number - 1]),
                quick=0 < since <= _EIGHTH,
                changes=tuple(map(changes.get, keys)) if changes else (),
            )
        )
        for tone in onset.tones:
            key = step_key(tone.pitch, hand)
            sounding[key] = onset.time + tone.length
    named = _with_rows(_with_trills(_with_turns(steps, onsets)))
    return _with_basses(named, stretch_mm)


_RUN = 3
"""So many strikes of one key are repeated notes; of two, the hand may move between them."""
_TURNS = 0.26
"""Seconds: a key struck again and again as fast as this is taken by fingers in turn, slower by one
finger throughout."""


def _with_turns(steps: Sequence[Step], onsets: Sequence[Onset]) -> tuple[Step, ...]:
    """The steps, those of repeated notes with the finger whose turn it is.

    4 3 2 1 from beat to beat, and 3 2 1 in triplets or where threes come out even: custom. In a row
    of keys each struck twice, at leisure, one finger takes both strokes.
    """
    found = list(steps)
    for number in _in_pairs(steps):
        found[number] = replace(steps[number], due=0)
    first = 0
    for _, same in groupby(steps, key=lambda step: step.struck):
        count = sum(1 for _ in same)
        if count >= _RUN and len(steps[first].struck) == 1:
            since = onsets[first + 1].time - onsets[first].time
            quick = steps[first + 1].seconds <= _TURNS
            threes = since.denominator % 3 == 0 or (count % 3 == 0 and count % 4 != 0)
            fingers = 3 if threes else 4
            before = onsets[first].metric / since % fingers if quick else Fraction(0)
            for number in range(count):
                due = fingers - int(before + number) % fingers if quick else 0
                found[first + number] = replace(steps[first + number], due=due)
        first += count
    return tuple(found)


_PAIRS = 3
"""So many keys struck twice, one after the other, are a row of pairs."""


def _in_pairs(steps: Sequence[Step]) -> Iterator[int]:
    """The steps of rows of single keys that are each struck twice, without haste."""
    twice: list[bool] = []
    for _, group in groupby(steps, key=lambda step: step.struck):
        same = list(group)
        pair = len(same) == 2 and len(same[0].struck) == 1 and same[1].seconds > _TURNS
        twice += [pair] * len(same)
    first = 0
    for paired, row in groupby(twice):
        count = sum(1 for _ in row)
        if paired and count >= 2 * _PAIRS:
            yield from range(first, first + count)
        first += count


_TRILL = 6
"""So many strokes of two neighbouring keys in turn are a trill."""


def _with_trills(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, those of trills named as such."""
    found = list(steps)
    again = [
        here.struck == there.struck and _is_second(here, beside)
        for here, beside, there in zip(steps, steps[1:], steps[2:], strict=False)
    ]
    first = 0
    for comes, same in groupby(again):
        count = sum(1 for _ in same) + 2
        if comes and count >= _TRILL:
            for number in range(first, first + count):
                found[number] = replace(steps[number], trill=True)
        first += count - 2
    return tuple(found)


def _with_rows(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The steps, those named that are the third of three keys that rise or fall by step."""
    found = list(steps)
    ways = [_way(here, there) for here, there in pairwise(steps)]
    for number, way in enumerate(ways):
        if number and way and way == ways[number - 1]:
            found[number + 1] = replace(steps[number + 1], row=True)
    return tuple(found)


def _way(here: Step, there: Step) -> int:
    """1 or -1 where a single key is followed by its neighbour above or below, else 0."""
    if not _is_second(here, there):
        return 0
    return 1 if there.struck > here.struck else -1


_FURTHER_IN = 3
"""Semitones between a key and the chord that follows, from which it is the chord's bass."""


def _with_basses(steps: Sequence[Step], stretch_mm: float) -> tuple[Step, ...]:
    """The steps, those named ``outer`` from which the hand closes in on a chord."""
    found = list(steps)
    for number, (here, there) in enumerate(pairwise(steps)):
        if len(here.struck) != 1 or len(there.struck) < 2 or here.held:
            continue
        further_in = here.struck[0] - there.struck[-1] >= _FURTHER_IN
        if further_in and holds((*there.struck, here.struck[0]), Hand.RIGHT, stretch_mm):
            found[number] = replace(here, outer=True)
    return tuple(found)


def _is_second(here: Step, beside: Step) -> bool:
    """Whether both are single keys, side by side."""
    singles = len(here.struck) == len(beside.struck) == 1
    return singles and 0 < abs(here.struck[0] - beside.struck[0]) <= 2


def _struck(onset: Onset, number: int, hand: Hand) -> tuple[dict[int, int | None], dict[int, int]]:
    """The keys struck with the fingers that are fixed, and those to which a finger changes."""
    struck: dict[int, int | None] = {}
    changes: dict[int, int] = {}
    for tone in onset.tones:
        key = step_key(tone.pitch, hand)
        finger = tone.finger.number if tone.finger else None
        if finger is not None and not 1 <= finger <= 5:
            raise FingeringError(
                f"{finger} is not a finger", number, "fingers count from 1, the thumb, to 5"
            )
        struck[key] = struck.get(key) or finger
        if tone.finger and tone.finger.then:
            changes[key] = tone.finger.then
    return struck, changes


def _detached(onset: Onset) -> bool:
    return not _DETACHED.isdisjoint(onset.articulations)
