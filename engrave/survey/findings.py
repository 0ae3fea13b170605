"""What a stretch is hard by, as a teacher says it: one plain sentence a trouble, with its place.

Enters: lines, cells, a stretch's parts. Leaves: ``Remark``s without a figure of measurement: what
is counted is what a player can count on the page. Knows no weights and no language.
"""

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from engrave.music.notes import Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.units import Quarters
from engrave.passage.displacement import displacement
from engrave.passage.fingering_notes import interval_of
from engrave.passage.runs import LONGEST_VALUE, Run
from engrave.remarks import Remark
from engrave.survey.lines import HandLine
from engrave.survey.model import Cell, Figures, LoadShare, Side
from engrave.survey.moving import pass_between

TOLD = 2
"""Sentences a stretch: a student reads no list."""

FEWEST_IN_RUN = 6
MANY_LEAPS = 3
THIRD, OCTAVE = 3, 8

QUICK = 4.0
"""Notes a second from which a teacher calls notes quick (the booklet's own limit for runs)."""

FEWEST_GRIPS = 3
FEWEST_WEAK, _WEAK = 3, frozenset({3, 4, 5})
TENTH = 10
"""Letters up to which a chord is a stretch; a wider one is rolled."""
OUTER = ({1, 4}, {1, 5})
"""Fingers in which an octave is no stretch of fingers that lie close together."""
CHORD = 3
"""Keys from which a grip is called a chord; two are double notes."""


SAID_OF_BOTH = (
    "run", "broken-run", "double-run", "octave-run", "changes", "chords", "double-notes", "octaves",
)  # fmt: skip
BOTH = frozenset(f"survey.finding.{kind}" for kind in SAID_OF_BOTH)
"""Sentences that have a form for both hands."""


@dataclass(frozen=True, slots=True)
class Scene:
    """The stretch as its music: cells ``first`` to ``last`` of the piece, both inclusive."""

    lines: Mapping[Hand, HandLine]
    cells: Sequence[Cell]
    figures: Figures
    first: int
    last: int
    runs: Mapping[Hand, Sequence[Run]]
    leaping: Mapping[Hand, Sequence[bool]]
    """For every hand and onset, whether the hand leaps to it."""

    def worst(self, part: LoadShare) -> int:
        """The cell in which a load is highest."""
        figures = self.figures[part.side][part.load]
        return max(range(self.first, self.last + 1), key=lambda index: (figures[index], -index))

    def onsets(self, hand: Hand, first: int, last: int) -> list[Onset]:
        """What a hand strikes in some cells."""
        struck = self.lines[hand].onsets
        begin = bisect_left(struck, self.cells[first].start, key=_time)
        return list(struck[begin : bisect_left(struck, self.cells[last].end, key=_time)])

    def measure_of(self, cell: int) -> tuple[int, int]:
        """The cells of the stretch in one measure with ``cell``."""
        name, bar = self.cells[cell].measure, self.cells[cell].bar
        alike = [
            index
            for index in range(self.first, self.last + 1)
            if (self.cells[index].measure, self.cells[index].bar) == (name, bar)
        ]
        return alike[0], alike[-1]


def _time(onset: Onset) -> Quarters:
    return onset.time


def findings(scene: Scene, parts: Sequence[LoadShare]) -> tuple[Remark, ...]:
    """The sentences for the heaviest parts; what is said of both hands alike is said once.

    The second is of another side than the first, where another has a trouble that can be told.
    """
    told: dict[tuple[str, Side], Remark] = {}
    left = sorted(parts, key=telling, reverse=True)
    while left:
        sides = {side for _, side in told}
        part = min(left, key=lambda each: each.side in sides)
        left.remove(part)
        kind = KINDS[part.load]
        if len(told) == TOLD:
            break
        said = None if (kind, part.side) in told else _TELLERS[part.load](scene, part)
        if said is None or any(_is_told(said, other) for other in told.values()):
            continue
        alike = next((k for k, other in told.items() if _is_both(other, said)), None)
        if alike is None:
            told[kind, part.side] = said
        else:
            told[alike] = replace(said, key=f"{said.key}-both")
    return tuple(told.values())


def _is_told(said: Remark, other: Remark) -> bool:
    return said == other or other.key == f"{said.key}-both"


def telling(part: LoadShare) -> float:
    """How much a part says of its place: speed says least, as most music is quick somewhere."""
    return part.share / 2 if part.load == "speed" else part.share


def _is_both(one: Remark, other: Remark) -> bool:
    """Whether two sentences differ in the hand alone, and can be said of both."""
    values = [{k: v for k, v in each.values if k != "hand"} for each in (one, other)]
    return one.key == other.key and one.key in BOTH and values[0] == values[1]


def _hand(part: LoadShare) -> Hand:
    return Hand(part.side.value)


def _speed(scene: Scene, part: LoadShare) -> Remark | None:
    hand, cells = _hand(part), scene.cells
    if part.figure < QUICK:
        return None
    start, end = cells[scene.first].start, cells[scene.last].end
    played = [[note for note in run.notes if start <= note.time < end] for run in scene.runs[hand]]
    notes = max(played, key=len, default=[])
    if len(notes) >= FEWEST_IN_RUN:
        return _said(_kind_of_run(notes), hand=hand, count=len(notes), measure=notes[0].measure)
    at = scene.worst(part)
    count = len(scene.onsets(hand, at, at))
    if count < 3:
        return None
    return _said("quick", hand=hand, count=count, measure=cells[at].measure)


def _kind_of_run(notes: Sequence[Onset]) -> str:
    """What most of a run is: octaves, double notes, broken chords, or steps."""
    most = len(notes) / 2
    if sum(map(_is_octave, notes)) > most:
        return "octave-run"
    if sum(len(note.tones) > 1 for note in notes) > most:
        return "double-run"
    wide = sum(_letters(a.pitches[-1], b.pitches[-1]) >= THIRD for a, b in pairwise(notes))
    return "broken-run" if wide > most else "run"


def _is_octave(onset: Onset) -> bool:
    return len(onset.pitches) == 2 and onset.pitches[1].midi - onset.pitches[0].midi == 12


def _passes(scene: Scene, part: LoadShare) -> Remark | None:
    hand, at = _hand(part), scene.worst(part)
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
        return _said(f"{kind}.once", on=keys[0], **values)
    if len(keys) == 2:
        return _said(f"{kind}.twice", first=keys[0], second=keys[1], **values)
    return _said(f"{kind}.often", count=len(keys), **values)


def _leaps(scene: Scene, part: LoadShare) -> Remark | None:
    hand = _hand(part)
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
    return _said(
        f"leaps.{way}-often" if len(found) >= MANY_LEAPS else f"leaps.{way}",
        hand=hand,
        width=interval_of(far.letters),
        end=Remark.of(f"survey.finding.landing.{_colour(far.end)}", on=far.end),
        measure=measure,
    )


def _colour(pitch: Pitch) -> str:
    return "black" if pitch.is_black else "white"


def _letters(start: Pitch, end: Pitch) -> int:
    return abs(end.diatonic - start.diatonic) + 1


def _travel(scene: Scene, part: LoadShare) -> Remark | None:
    hand = _hand(part)
    first, last = scene.measure_of(scene.worst(part))
    struck = scene.onsets(hand, first, last)
    if not struck or (leaps := _leaps(scene, part)):
        return leaps if struck else None
    low = min((onset.pitches[0] for onset in struck), key=lambda pitch: pitch.midi)
    high = max((onset.pitches[-1] for onset in struck), key=lambda pitch: pitch.midi)
    if _letters(low, high) <= OCTAVE:
        return _changes(scene, part)
    width = interval_of(_letters(low, high) - 1)
    return _said("travel", hand=hand, width=width, measure=scene.cells[first].measure)


def _changes(scene: Scene, part: LoadShare) -> Remark | None:
    hand = _hand(part)
    first, last = scene.measure_of(scene.worst(part))
    struck = scene.onsets(hand, first, last)
    if _octaves_in(struck):
        return _chords(scene, part)
    inside = {onset.index for onset in struck}
    count = sum(place.first in inside for place in scene.lines[hand].places[1:])
    if count < 2:
        return None
    return _said("changes", hand=hand, count=count, measure=scene.cells[first].measure)


def _stretch(scene: Scene, part: LoadShare) -> Remark | None:
    hand, at = _hand(part), scene.worst(part)
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
    letters = _letters(low, high)
    kind = "open" if letters <= OCTAVE else "wide" if letters <= TENTH else "rolled"
    if kind == "open" and _in_outer_fingers(scene.onsets(hand, at, at), len(keys)):
        return None
    return _said(
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


def _weak(scene: Scene, part: LoadShare) -> Remark | None:
    """Told where three and more quick notes in a row are theirs; two of them are no trouble."""
    hand, at = _hand(part), scene.worst(part)
    row = most = 0
    last = None
    for onset in scene.onsets(hand, *scene.measure_of(at)):
        fingers = {tone.finger.number for tone in onset.tones if tone.finger}
        goes_on = last is not None and onset.time - last <= LONGEST_VALUE
        row = (row if goes_on else 0) + 1 if fingers and fingers <= _WEAK else 0
        most, last = max(most, row), onset.time
    if most < FEWEST_WEAK:
        return None
    return _said("weak-fingers", hand=hand, measure=scene.cells[at].measure)


def _repeats(scene: Scene, part: LoadShare) -> Remark | None:
    hand, at = _hand(part), scene.worst(part)
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
    return _said("repeats", hand=hand, count=best, measure=scene.cells[at].measure)


def _chords(scene: Scene, part: LoadShare) -> Remark | None:
    hand, at = _hand(part), scene.worst(part)
    first, last = scene.measure_of(at)
    grips = [onset for onset in scene.onsets(hand, first, last) if len(onset.tones) > 1]
    kind = "chords" if any(len(grip.tones) >= CHORD for grip in grips) else "double-notes"
    measure = scene.cells[at].measure
    if octaves := _octaves_in(grips):
        return _said("octaves", hand=hand, count=octaves, measure=measure)
    if len(grips) < FEWEST_GRIPS:
        return None
    return _said(kind, hand=hand, count=len(grips), measure=measure)


def _octaves_in(onsets: Sequence[Onset]) -> int:
    """How many octaves there are, if most of it is octaves."""
    count = sum(map(_is_octave, onsets))
    return count if count >= FEWEST_GRIPS and 2 * count > len(onsets) else 0


def _voices(scene: Scene, part: LoadShare) -> Remark | None:
    at = scene.worst(part)
    return _said("voices", hand=_hand(part), measure=scene.cells[at].measure)


def _accidentals(scene: Scene, part: LoadShare) -> Remark | None:
    hand = _hand(part)
    first, last = scene.measure_of(scene.worst(part))
    line = scene.lines[hand]
    count = sum(
        pitch.alter != line.keys[onset.index].alter_of(pitch.step)
        for onset in scene.onsets(hand, first, last)
        for pitch in onset.pitches
    )
    if count < 3:
        return None
    return _said("accidentals", hand=hand, count=count, measure=scene.cells[first].measure)


def _staff_jumps(scene: Scene, part: LoadShare) -> Remark | None:
    at = scene.worst(part)
    return _said("staff-jumps", hand=_hand(part), measure=scene.cells[at].measure)


def _ornaments(scene: Scene, part: LoadShare) -> Remark | None:
    at = scene.worst(part)
    return _said("ornaments", hand=_hand(part), measure=scene.cells[at].measure)


def _against(scene: Scene, part: LoadShare) -> Remark | None:
    at = scene.worst(part)
    right, left = (len(scene.onsets(hand, at, at)) for hand in (Hand.RIGHT, Hand.LEFT))
    measure = scene.cells[at].measure
    return _said("two-rhythms", right=right, left=left, measure=measure)


def _apart(scene: Scene, part: LoadShare) -> Remark | None:
    return _said("independence", measure=scene.cells[scene.worst(part)].measure)


def _said(kind: str, **values: object) -> Remark:
    return Remark.of(f"survey.finding.{kind}", **values)


_TELLERS: Mapping[str, Callable[[Scene, LoadShare], Remark | None]] = {
    "speed": _speed,
    "passes": _passes,
    "leaps": _leaps,
    "travel": _travel,
    "changes": _changes,
    "stretch": _stretch,
    "weak-fingers": _weak,
    "repeats": _repeats,
    "chords": _chords,
    "voices": _voices,
    "accidentals": _accidentals,
    "staff-jumps": _staff_jumps,
    "ornaments": _ornaments,
    "two-rhythms": _against,
    "independence": _apart,
}

KINDS: Mapping[str, str] = {load: load for load in _TELLERS} | {
    "travel": "moving", "changes": "moving", "leaps": "moving", "staff-jumps": "moving",
    "two-rhythms": "against", "independence": "against",
}  # fmt: skip
"""Loads that are told in one sentence, by a name of the kind."""
