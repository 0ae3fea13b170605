"""A hand's onsets as the fingering sees them: keys, seconds and fixed fingers, one hand for both.

Enters: onsets of one hand. Leaves: ``Step``s for a right hand: a left hand's keys are mirrored
about D, where the keyboard is its own mirror. Knows no costs.
"""

from collections.abc import Sequence
from fractions import Fraction

from engrave.fingering.holding import let_go
from engrave.fingering.patterns import (
    with_basses,
    with_figured_turns,
    with_pairs,
    with_rows,
    with_trills,
    with_turns,
)
from engrave.fingering.step import FingeringError, Step, step_key
from engrave.music.notes import STRETCH_MM, Hand
from engrave.music.onset import Onset

DEFAULT_TEMPO = Fraction(60)
"""Quarters a minute, where nobody says how fast."""
_EIGHTH = Fraction(1, 2)
_DETACHED = {"staccato", "staccatissimo", "spiccato"}


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
    named = with_trills(with_turns(with_pairs(steps), onsets))
    return with_basses(with_figured_turns(with_rows(named)), stretch_mm)


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
