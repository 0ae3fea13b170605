"""Loads of the eye: accidentals, jumps on the staff, ornaments.

Enters: a ``HandLine``. Leaves: a figure an onset, 0 where there is nothing.
"""

from engrave.survey.lines import HandLine
from engrave.survey.moving import Loads

BY_THE_KEY = 0.25
"""What a note counts that the key signature alters: it is to be remembered, not read."""

EASY_JUMP = 7
"""Letters that the eye follows without counting: an octave (common practice, no source)."""


def accidentals(line: HandLine) -> Loads:
    """Altered notes a second: 1 for each against the key, 2 for a double, a quarter by the key.

    Altered note rate: Chiu and Chen 2012 (from memory).
    """
    result: list[float] = []
    for onset, key in zip(line.onsets, line.keys, strict=True):
        load = 0.0
        for pitch in onset.pitches:
            if pitch.alter != key.alter_of(pitch.step):
                load += max(abs(pitch.alter), 1)
            elif pitch.alter:
                load += BY_THE_KEY
        result.append(load)
    return tuple(result)


def staff_jumps(line: HandLine) -> Loads:
    """Octaves a second that the written line jumps beyond the first, from onset to onset.

    Reading jumps: common practice, no source. Counted in letters between the nearest notes.
    """
    result = [0.0] * len(line.onsets)
    for index in range(1, len(line.onsets)):
        before, after = line.onsets[index - 1].pitches, line.onsets[index].pitches
        nearest = min(abs(a.diatonic - b.diatonic) for a in before for b in after)
        result[index] = max(nearest - EASY_JUMP, 0) / 7
    return tuple(result)


def ornaments(line: HandLine) -> Loads:
    """Ornaments and grace notes a second.

    Common practice, no source: an ornament is notes that the line does not show.
    """
    return tuple(float(len(onset.ornaments) + onset.graces) for onset in line.onsets)
