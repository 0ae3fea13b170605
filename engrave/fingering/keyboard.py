"""The keyboard in millimetres: where keys lie.

Enters: keys (MIDI numbers or spelled pitches). Leaves: distances and indices of difficulty. Knows
nothing of time, fingering or music.

Positions follow the equal-back model: octave 165 mm, seven white keys of 165/7 mm, black keys at
0.900, 2.100, 3.857, 5.000 and 6.143 white keys from the left edge of C.
"""

import math

from engrave.music.notes import Pitch

OCTAVE_MM = 165.0
WHITE_MM = OCTAVE_MM / 7
BLACK_MM = 10.0
"""Width of a black key's head; makers differ between 9.5 and 11 mm (from memory)."""
SEMITONE_MM = OCTAVE_MM / 12
LOWEST_KEY, HIGHEST_KEY = 21, 108

_CENTRES = (-1, -0.6, 0, 0.6, 1, 2, 2.357, 3, 3.5, 4, 4.643, 5)
"""Centres in white keys from the middle of D, about which the keyboard is its own mirror."""
_WHITE_INDEX = (0, 0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6)


Key = Pitch | int


def midi_of(key: Key) -> int:
    """The MIDI number of a key, middle C = 60."""
    return key if isinstance(key, int) else key.midi


def is_black(key: Key) -> bool:
    """Whether the key is a black one."""
    return midi_of(key) % 12 in (1, 3, 6, 8, 10)


def mirrored(key: Key) -> int:
    """The key as far on the other side of D4 (MIDI 62): what the other hand has there."""
    return 124 - midi_of(key)


def centre_mm(key: Key) -> float:
    """Centre of a key, in millimetres from the centre of D4; lower keys are negative."""
    return signed_mm(62, key)


def width_mm(key: Key) -> float:
    """The width a finger has to hit: 165/7 mm for a white key, 10 mm for a black one."""
    return BLACK_MM if is_black(key) else WHITE_MM


def signed_mm(start: Key, end: Key) -> float:
    """Centre to centre from one key to another, rising positive, in millimetres."""
    (low_octave, low), (high_octave, high) = divmod(midi_of(start), 12), divmod(midi_of(end), 12)
    white_keys = _CENTRES[high] - _CENTRES[low]
    return (high_octave - low_octave) * OCTAVE_MM + white_keys * WHITE_MM


def distance_mm(a: Key, b: Key) -> float:
    """Centre to centre between two keys, in millimetres (octave 165.0, tenth 212.1)."""
    return abs(signed_mm(a, b))


def white_keys_between(a: Key, b: Key) -> int:
    """How many white keys further one key lies than the other, without sign (octave: 7).

    Spelled pitches count by their letters, so that F sharp is as far from C as F is; bare MIDI
    numbers count a black key as the white one to its left.
    """
    return abs(_white_index(b) - _white_index(a))


def _white_index(key: Key) -> int:
    if isinstance(key, Pitch):
        return key.diatonic
    octave, place = divmod(key, 12)
    return 7 * octave + _WHITE_INDEX[place]


def index_of_difficulty(distance_mm: float, width_mm: float) -> float:
    """log2(D/W + 1) in bits (Fitts 1954; Shannon form, MacKenzie 1992). A ranking, no forecast."""
    return math.log2(distance_mm / width_mm + 1)
