"""What is said of a hand that moves: runs, thumb passes, leaps, travel, changes of position.

Enters: a ``Scene`` and the part of its difficulty to be told. Leaves: a ``Remark``, or None where
nothing that can be counted bears it out.
"""

from collections.abc import Sequence
from itertools import pairwise

from engrave.music.notes import Pitch
from engrave.music.onset import Onset
from engrave.passage.displacement import displacement
from engrave.passage.fingering_notes import interval_of
from engrave.remarks import Remark
from engrave.survey.findings.holding import chords
from engrave.survey.findings.scene import OCTAVE, Scene, hand_of, is_octave, octaves_in, said, width
from engrave.survey.model import LoadShare
from engrave.survey.moving import pass_between

FEWEST_IN_RUN = 6

MANY_LEAPS = 3

THIRD = 3

QUICK = 4.0
"""Notes a second from which a teacher calls notes quick (the booklet's own limit for runs)."""


def speed(scene: Scene, part: LoadShare) -> Remark | None:
    """The longest run, or the quick notes of a beat."""
    hand, cells = hand_of(part), scene.cells
    if part.figure < QUICK:
        return None
    start, end = cells[scene.first].start, cells[scene.last].end
    played = [[note for note in run.notes if start <= note.time < end] for run in scene.runs[hand]]
    notes = max(played, key=len, default=[])
    if len(notes) >= FEWEST_IN_RUN:
        return said(_kind_of_run(notes), hand=hand, count=len(notes), measure=notes[0].measure)
    at = scene.worst(part)
    count = len(scene.onsets(hand, at, at))
    if count < 3:
        return None
    return said("quick", hand=hand, count=count, measure=cells[at].measure)


def _kind_of_run(notes: Sequence[Onset]) -> str:
    """What most of a run is: octaves, double notes, broken chords, or steps."""
    most = len(notes) / 2
    if sum(map(is_octave, notes)) > most:
        return "octave-run"
    if sum(len(note.tones) > 1 for note in notes) > most:
        return "double-run"
    wide = sum(width(a.pitches[-1], b.pitches[-1]) >= THIRD for a, b in pairwise(notes))
    return "broken-run" if wide > most else "run"


def passes(scene: Scene, part: LoadShare) -> Remark | None:
    """Onto which keys the thumb passes in the worst beat, or a finger over it."""
    hand, at = hand_of(part), scene.worst(part)
    line = scene.lines[hand]
    under: list[Pitch] = []
    over: list[Pitch] = []
    for onset in scene.onsets(hand, at, at):
        before = line.onsets[onset.index - 1] if onset.index else None
        if before and pass_between(before, onset, hand):
            finger = onset.tones[0].finger
            (under if finger and finger.number == 1 else over).append(onset.pitches[0])
    kind, keys = ("under", under) if len(under) >= len(over) else ("over", over)
    if not keys:
        return None
    values: dict[str, object] = {"hand": hand, "measure": scene.cells[at].measure}
    if len(keys) == 1:
        return said(f"{kind}.once", on=keys[0], **values)
    if len(keys) == 2:
        return said(f"{kind}.twice", first=keys[0], second=keys[1], **values)
    return said(f"{kind}.often", count=len(keys), **values)


def leaps(scene: Scene, part: LoadShare) -> Remark | None:
    """The farthest leap, and whether there are many."""
    hand = hand_of(part)
    line, leaping = scene.lines[hand], scene.leaping[hand]
    found = [
        (moved, onset.measure)
        for onset in scene.onsets(hand, scene.first, scene.last)
        if leaping[onset.index] and (moved := displacement(line.onsets, onset.index, hand))
    ]
    if not found:
        return None
    far, measure = max(found, key=lambda entry: entry[0].letters)
    way = "up" if far.end.midi > far.start.midi else "down"
    return said(
        f"leaps.{way}-often" if len(found) >= MANY_LEAPS else f"leaps.{way}",
        hand=hand,
        width=interval_of(far.letters),
        end=Remark.of(f"survey.finding.landing.{_colour(far.end)}", on=far.end),
        measure=measure,
    )


def _colour(pitch: Pitch) -> str:
    return "black" if pitch.is_black else "white"


def travel(scene: Scene, part: LoadShare) -> Remark | None:
    """The leaps; without them how far the hand goes in the worst measure, or how often it moves."""
    hand = hand_of(part)
    first, last = scene.measure_of(scene.worst(part))
    struck = scene.onsets(hand, first, last)
    if not struck:
        return None
    if leaping := leaps(scene, part):
        return leaping
    low = min((onset.pitches[0] for onset in struck), key=lambda pitch: pitch.midi)
    high = max((onset.pitches[-1] for onset in struck), key=lambda pitch: pitch.midi)
    if width(low, high) <= OCTAVE:
        return changes(scene, part)
    far = interval_of(width(low, high) - 1)
    return said("travel", hand=hand, width=far, measure=scene.cells[first].measure)


def changes(scene: Scene, part: LoadShare) -> Remark | None:
    """How often the hand changes its position in the worst measure; of octaves, how many."""
    hand = hand_of(part)
    first, last = scene.measure_of(scene.worst(part))
    struck = scene.onsets(hand, first, last)
    if octaves_in(struck):
        return chords(scene, part)
    inside = {onset.index for onset in struck}
    count = sum(place.first in inside for place in scene.lines[hand].places[1:])
    if count < 2:
        return None
    return said("changes", hand=hand, count=count, measure=scene.cells[first].measure)
