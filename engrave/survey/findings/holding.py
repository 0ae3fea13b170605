"""What is said of a hand in its place: spans, weak fingers, repeated notes, chords, voices.

Enters: a ``Scene`` and the part of its difficulty to be told. Leaves: a ``Remark``, or None where
nothing that can be counted bears it out.
"""

from collections.abc import Iterable, Sequence

from engrave.music.notes import Pitch
from engrave.music.onset import Onset
from engrave.passage.fingering_notes import interval_of
from engrave.passage.runs import LONGEST_VALUE
from engrave.remarks import Remark
from engrave.survey.findings.scene import (
    FEWEST_GRIPS,
    OCTAVE,
    Scene,
    hand_of,
    octaves_in,
    said,
    width,
)
from engrave.survey.model import LoadShare

FEWEST_WEAK, _WEAK = 3, frozenset({3, 4, 5})

TENTH = 10
"""Letters up to which a chord is a stretch; a wider one is rolled."""

OUTER = ({1, 4}, {1, 5})
"""Fingers in which an octave is no stretch of fingers that lie close together."""

CHORD = 3
"""Keys from which a grip is called a chord; two are double notes."""


def stretch(scene: Scene, part: LoadShare) -> Remark | None:
    """How wide the hand is open in the worst beat, with what it holds."""
    hand, at = hand_of(part), scene.worst(part)
    line = scene.lines[hand]
    held = [
        (*onset.pitches, *(pitch for pitch, _ in line.held[onset.index]))
        for onset in scene.onsets(hand, at, at)
    ]
    keys = max(held, key=lambda pitches: _span(pitches), default=())
    if len(keys) < 2:
        return None
    low, high = min(keys, key=lambda p: p.midi), max(keys, key=lambda p: p.midi)
    measure = scene.cells[at].measure
    letters = width(low, high)
    kind = "open" if letters <= OCTAVE else "wide" if letters <= TENTH else "rolled"
    if kind == "open" and _in_outer_fingers(scene.onsets(hand, at, at), len(keys)):
        return None
    return said(
        kind,
        hand=hand,
        width=interval_of(letters - 1),
        low=low,
        high=high,
        measure=measure,
    )


def _in_outer_fingers(onsets: Iterable[Onset], count: int) -> bool:
    """Whether all ``count`` keys are a double note of the thumb and the fourth or fifth finger."""
    fingers = [{tone.finger.number for tone in o.tones if tone.finger} for o in onsets]
    return count == len(OUTER[0]) and any(taken in OUTER for taken in fingers)


def _span(pitches: Sequence[Pitch]) -> int:
    return max(p.midi for p in pitches) - min(p.midi for p in pitches)


def weak_fingers(scene: Scene, part: LoadShare) -> Remark | None:
    """Told where three and more quick notes in a row are theirs; two of them are no trouble."""
    hand, at = hand_of(part), scene.worst(part)
    row = most = 0
    last = None
    for onset in scene.onsets(hand, *scene.measure_of(at)):
        fingers = {tone.finger.number for tone in onset.tones if tone.finger}
        goes_on = last is not None and onset.time - last <= LONGEST_VALUE
        row = (row if goes_on else 0) + 1 if fingers and fingers <= _WEAK else 0
        most, last = max(most, row), onset.time
    if most < FEWEST_WEAK:
        return None
    return said("weak-fingers", hand=hand, measure=scene.cells[at].measure)


def repeats(scene: Scene, part: LoadShare) -> Remark | None:
    """How often running a key is struck in the worst measure."""
    hand, at = hand_of(part), scene.worst(part)
    line = scene.lines[hand]
    first, last = scene.measure_of(at)
    count, best = 1, 1
    for onset in scene.onsets(hand, first, last):
        before = line.onsets[onset.index - 1].pitches if onset.index else ()
        same = {pitch.midi for pitch in before} & {pitch.midi for pitch in onset.pitches}
        count = count + 1 if same else 1
        best = max(best, count)
    if best < 3:
        return None
    return said("repeats", hand=hand, count=best, measure=scene.cells[at].measure)


def chords(scene: Scene, part: LoadShare) -> Remark | None:
    """The octaves, chords or double notes of the worst measure."""
    hand, at = hand_of(part), scene.worst(part)
    first, last = scene.measure_of(at)
    grips = [onset for onset in scene.onsets(hand, first, last) if len(onset.tones) > 1]
    kind = "chords" if any(len(grip.tones) >= CHORD for grip in grips) else "double-notes"
    measure = scene.cells[at].measure
    if octaves := octaves_in(grips):
        return said("octaves", hand=hand, count=octaves, measure=measure)
    if len(grips) < FEWEST_GRIPS:
        return None
    return said(kind, hand=hand, count=len(grips), measure=measure)


def voices(scene: Scene, part: LoadShare) -> Remark | None:
    """That a key is held under others."""
    at = scene.worst(part)
    return said("voices", hand=hand_of(part), measure=scene.cells[at].measure)
