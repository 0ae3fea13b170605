"""Where a hand rocks: to and fro between two strokes, wider than five fingers, under the open hand.

Enters: onsets of one hand. Leaves: which of them belong to a tremolo or to broken octaves on the
spot. The arm turns and goes nowhere: such notes are as quick as a run's and no run.
"""

from collections.abc import Sequence

from engrave.music.onset import Onset
from engrave.passage.displacement import FIVE_FINGERS, OCTAVE, span_of

FEWEST, FEWEST_OCTAVES = 6, 4
"""Strokes to and fro, and of octaves, which no fingers play: a figure that touches a key twice or
three times is none."""


def rocking(line: Sequence[Onset]) -> list[bool]:
    """For every onset whether it is one of so many that go to and fro."""
    rocks, row = [False] * len(line), 2
    for number in range(2, len(line)):
        now, width = line[number], span_of(line[number - 1], line[number])
        comes_back = now.pitches == line[number - 2].pitches
        row = row + 1 if comes_back and FIVE_FINGERS < width <= OCTAVE else 2
        if row >= (FEWEST_OCTAVES if width == OCTAVE else FEWEST):
            rocks[number + 1 - row : number + 1] = [True] * row
    return rocks
