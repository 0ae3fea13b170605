"""Loads of a hand in its place: stretch, weak fingers, repeated notes, chords, several voices.

Enters: a ``HandLine``. Leaves: a figure an onset, 0 where there is nothing.
"""

from itertools import combinations

from engrave.fingering.hand import reach, thumb_takes_both
from engrave.fingering.keyboard import mirrored, signed_mm
from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.survey.lines import HandLine
from engrave.survey.moving import Loads

AT_EASE = 2 / 3
"""The share of its reach that a hand takes without opening: MaxRel over MaxPrac of thumb and little
finger is 10 to 15 semitones (Parncutt and others 1997)."""

WEAK = frozenset((3, 4, 5))


ROLLED = 1.25
"""What a chord counts that is wider than the hand, however wide: it is rolled or let go."""


def stretch(line: HandLine) -> Loads:
    """How far the hand is open beyond its ease, as a share of what is left to it: 1 is all.

    The widest pair of fingers over the reach of that pair (Parncutt and others 1997, MaxPrac),
    which grows with the student's stretch; held keys count.
    """
    return tuple(
        min(max((share - AT_EASE) / (1 - AT_EASE), 0.0), ROLLED)
        for share in (
            _share_of_reach(onset, held, line.hand, line.stretch_mm)
            for onset, held in zip(line.onsets, line.held, strict=True)
        )
    )


def _share_of_reach(
    onset: Onset, held: tuple[tuple[Pitch, int], ...], hand: Hand, stretch_mm: float
) -> float:
    taken = [(tone.pitch, tone.finger.number) for tone in onset.tones if tone.finger]
    keys = [(pitch.midi, finger) for pitch, finger in (*taken, *held)]
    if hand is Hand.LEFT:
        keys = [(mirrored(key), finger) for key, finger in keys]
    shares = [0.0]
    for (low, first), (high, second) in combinations(sorted(keys), 2):
        if first == second:
            both = first == 1 and thumb_takes_both(low, high)
            shares.append(0.0 if both else 1.0)
        elif first < second:
            shares.append(signed_mm(low, high) / reach(first, second, stretch_mm).max_prac)
    return max(shares)


def weak_fingers(line: HandLine) -> Loads:
    """Weak pairs a second: two of the third to fifth finger one after the other, the fourth or
    fifth among them, on two keys.

    Parncutt and others 1997, rules 6 to 8.
    """
    result = [0.0] * len(line.onsets)
    for index in range(1, len(line.onsets)):
        before, after = line.onsets[index - 1], line.onsets[index]
        if len(before.tones) == len(after.tones) == 1 and before.pitches != after.pitches:
            fingers = {t.finger.number for t in (*before.tones, *after.tones) if t.finger}
            if len(fingers) == 2 and fingers <= WEAK:
                result[index] = 1.0
    return tuple(result)


def repeats(line: HandLine) -> Loads:
    """Repetitions a second: onsets that strike a key of the onset before again.

    A finger taps six or seven times a second at most (studies of tapping, from memory).
    """
    result = [0.0] * len(line.onsets)
    for index in range(1, len(line.onsets)):
        before = {pitch.midi for pitch in line.onsets[index - 1].pitches}
        if any(pitch.midi in before for pitch in line.onsets[index].pitches):
            result[index] = 1.0
    return tuple(result)


def chords(line: HandLine) -> Loads:
    """Keys a second that are new in a chord or double note: those that the onset before lacks.

    Chord changes: Sébastien and others 2012, "Score Analyzer" (from memory: harmony, polyphony).
    """
    result = [0.0] * len(line.onsets)
    before: set[int] = set()
    for index, onset in enumerate(line.onsets):
        keys = {pitch.midi for pitch in onset.pitches}
        if len(keys) > 1:
            result[index] = float(len(keys - before))
        before = keys
    return tuple(result)


def voices(line: HandLine) -> Loads:
    """Strokes a second under a held key of the same hand: several voices in one hand.

    Polyphony: Sébastien and others 2012 (from memory). Every held key counts.
    """
    return tuple(float(len(held)) for held in line.held)
