"""Loads of a hand that moves: speed, travel, leaps, thumb passes, changes of position.

Enters: a ``HandLine``. Leaves: a figure an onset, 0 where there is nothing. What is counted a
second is summed here as events; ``terrain`` divides by the seconds of the beat.
"""

from engrave.fingering.keyboard import index_of_difficulty, width_mm
from engrave.music.notes import Hand
from engrave.music.onset import Onset
from engrave.passage.displacement import displacement
from engrave.passage.rocking import rocking
from engrave.survey.lines import HandLine

Loads = tuple[float, ...]

MOST_LEAPT = 20.0
"""Bits a second beyond which no arm goes: twice what pointing allows (about ten in Fitts's own
trials, from memory). Such notes are rolled, or the other hand's, whatever is printed."""


def speed(line: HandLine) -> Loads:
    """Notes a second: every onset counts one, a chord is one stroke; of a tremolo two count one.

    Chiu and Chen 2012, "A study on difficulty level recognition of piano sheet music": playing
    speed (from memory). The arm that rocks turns once for two (common practice, no source).
    """
    return tuple(0.5 if rocks else 1.0 for rocks in rocking(line.onsets))


def travel(line: HandLine) -> Loads:
    """Millimetres a second that the hand moves along the keys, between its positions.

    Keys as in ``engrave.fingering.keyboard``; hand displacement: Chiu and Chen 2012 (from memory).
    """
    result = [0.0] * len(line.onsets)
    for place in line.places:
        result[place.first] = abs(place.shift_mm)
    return tuple(result)


def leaps(line: HandLine) -> Loads:
    """Bits a second of every leap: its index of difficulty over the time from onset to onset.

    log2(D/W + 1), D the displacement of the hand, W the width of the key it lands on, so that a
    black key weighs more (Fitts 1954; Shannon form, MacKenzie 1992). A leap is a displacement of a
    seventh or more.
    """
    result = [0.0] * len(line.onsets)
    for index in range(1, len(line.onsets)):
        moved = displacement(line.onsets, index, line.hand)
        if moved and moved.is_leap:
            load = index_of_difficulty(moved.mm, width_mm(moved.end)) / line.gap(index)
            result[index] = min(load, MOST_LEAPT)
    return tuple(result)


def passes(line: HandLine) -> Loads:
    """Thumb passes a second: the thumb under a finger, or a finger over the thumb.

    Parncutt, Sloboda, Clarke, Raekallio and Desain 1997, rule 12.
    """
    result = [0.0] * len(line.onsets)
    for index in range(1, len(line.onsets)):
        if pass_between(line.onsets[index - 1], line.onsets[index], line.hand):
            result[index] = 1.0
    return tuple(result)


def pass_between(before: Onset, after: Onset, hand: Hand) -> bool:
    """Whether a thumb and a finger lie crosswise on two notes that follow each other."""
    if len(before.tones) > 1 or len(after.tones) > 1:
        return False
    start, end = before.tones[0], after.tones[0]
    if start.finger is None or end.finger is None:
        return False
    fingers = end.finger.number - start.finger.number
    keys = end.pitch.midi - start.pitch.midi
    outward = keys if hand is Hand.RIGHT else -keys
    with_thumb = 1 in (start.finger.number, end.finger.number)
    return with_thumb and fingers * outward < 0 and abs(keys) < 12


def changes(line: HandLine) -> Loads:
    """Changes of hand position a second.

    Parncutt and others 1997, rule 4; the positions are those of ``engrave.passage.positions``.
    """
    result = [0.0] * len(line.onsets)
    for place in line.places[1:]:
        result[place.first] = 1.0
    return tuple(result)
