"""How far the hand itself has to go from one onset to the next.

Enters: fingered onsets of one hand. Leaves: the ``Displacement``. A wide interval that the open
hand covers is none: what counts is where the finger that lands stood before, or would have stood in
the five-finger position around the keys just played.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from engrave.fingering.keyboard import distance_mm
from engrave.music.notes import STEPS, Hand, Pitch
from engrave.music.onset import Onset

LEAST_LETTERS = 6
"""White keys of a seventh: from there on the hand leaps."""

FIVE_FINGERS, OCTAVE = 4, 7
"""White keys under a hand at rest, and under the open hand: the first it need not be carried over,
whatever the fingers with which it goes there."""

REMEMBERED = 3
"""Onsets before the last in which a finger that has not moved since was seen on its key."""


@dataclass(frozen=True, slots=True)
class Displacement:
    """From the key where the landing's finger stood (or would) to the key on which it lands.

    ``span`` is how many white keys the keys of both onsets take.
    """

    start: Pitch
    end: Pitch
    span: int = field(compare=False)

    @property
    def letters(self) -> int:
        """White keys from one to the other: 7 for an octave."""
        return abs(self.end.diatonic - self.start.diatonic)

    @property
    def mm(self) -> float:
        """Millimetres between the centres of both keys."""
        return distance_mm(self.start, self.end)

    @property
    def is_leap(self) -> bool:
        """Whether it is a seventh or more, between keys that do not lie under five fingers."""
        return self.letters >= LEAST_LETTERS and self.span > FIVE_FINGERS

    @property
    def is_wide(self) -> bool:
        """Whether the open hand cannot have all the keys under it."""
        return self.span > OCTAVE


def displacement(line: Sequence[Onset], end: int, hand: Hand) -> Displacement | None:
    """How far the hand goes to the ``end``-th onset of a line: the least of the fingers that land.

    None where no finger is known. A hand that opens or closes keeps one finger near its key; a
    hand that leaps keeps none. Fingers that are still on keys of before keep it from being a leap;
    what a leap is in figures can be told from its two onsets.
    """
    moved = _least(_displacements(_taken(line[end - 1]), line, end, hand))
    seen = _least(_displacements(_stood(line, end, hand), line, end, hand))
    if moved is None or seen is None:
        return moved
    return moved if seen.is_leap else min(moved, seen, key=_order)


def _least(found: Iterable[Displacement]) -> Displacement | None:
    return min(found, key=_order, default=None)


def _order(moved: Displacement) -> tuple[int, float]:
    return moved.letters, moved.mm


def span_of(before: Onset, after: Onset) -> int:
    """How many white keys the keys of two onsets take."""
    keys = [pitch.diatonic for pitch in (*before.pitches, *after.pitches)]
    return max(keys) - min(keys)


def _stood(line: Sequence[Onset], end: int, hand: Hand) -> dict[int, Pitch]:
    """Where the fingers stand before the ``end``-th onset: on the keys just played.

    And on those before, as long as the open hand has them all in one position, as in a tremolo.
    """
    stood = _taken(line[end - 1])
    if not stood:
        return {}
    for number in range(end - 2, max(end - 2 - REMEMBERED, -1), -1):
        both = _taken(line[number]) | stood
        if stood | _taken(line[number]) != both or not _is_position(both, hand):
            break
        stood = both
    return stood


def _taken(onset: Onset) -> dict[int, Pitch]:
    return {tone.finger.number: tone.pitch for tone in onset.tones if tone.finger}


def _is_position(stood: Mapping[int, Pitch], hand: Hand) -> bool:
    """Whether the fingers lie side by side, each on a key of its own, under the open hand."""
    keys = [stood[finger] for finger in sorted(stood, reverse=hand is Hand.LEFT)]
    rising = all(low.midi < high.midi for low, high in pairwise(keys))
    return rising and keys[-1].diatonic - keys[0].diatonic <= OCTAVE


def _displacements(
    stood: Mapping[int, Pitch], line: Sequence[Onset], end: int, hand: Hand
) -> Iterator[Displacement]:
    if not stood:
        return
    after, outward = line[end], 1 if hand is Hand.RIGHT else -1
    span = span_of(line[end - 1], after)
    for tone in after.tones:
        if tone.finger is None:
            continue
        finger = tone.finger.number
        if finger in stood:
            yield Displacement(stood[finger], tone.pitch, span)
            continue
        nearest = min(abs(finger - other) for other in stood)
        for other, pitch in stood.items():
            if abs(finger - other) == nearest:
                start = _white(pitch.diatonic + outward * (finger - other))
                yield Displacement(start, tone.pitch, span)


def _white(diatonic: int) -> Pitch:
    return Pitch(STEPS[diatonic % 7], 0, diatonic // 7)
