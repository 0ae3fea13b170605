"""What a drill says it rewrites really stands in the score, as partitura reads the score file."""

import warnings
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from tests.checks.manifest import DrillEntry, Pitch, SourceEntry
from tests.checks.rawxml import beat_of
from tests.checks.readback import FINEST, Clock

ROUNDED = Fraction(1, 300)
"""Of a quarter: more than half a tick of 256, less than two printed lengths differ by."""

Place = tuple[str, Fraction]
"""A measure's printed name and an offset in quarters from its start."""


@dataclass(frozen=True)
class ScoreNote:
    """A note head of the score; ``struck`` unless it is tied from one before it."""

    pitch: Pitch
    staff: int
    time: Fraction
    length: Fraction
    """How long the key stays down from here, ties merged."""
    struck: bool


@dataclass(frozen=True)
class ScoreReading:
    """The note heads at each place, and the order of the measures.

    ``irregular``: the lengths of measures that do not hold what their meter asks; ``beats``: the
    beat, in quarters, of those that do.
    """

    notes: dict[Place, tuple[ScoreNote, ...]]
    starts: dict[str, Fraction]
    irregular: frozenset[Fraction]
    beats: dict[str, Fraction]


@lru_cache(maxsize=16)
def read_score(path: Path, part_name: str = "") -> ScoreReading:
    """The named part, or all parts; measures whose name stands twice keep their first start."""
    import partitura

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        parts = partitura.load_score(str(path)).parts
    named = [part for part in parts if part_name in (part.part_name or "").split("\n")]
    reading = ScoreReading({}, {}, frozenset(), {})
    for part in named if part_name else parts:
        reading = _with_part(reading, part)
    return reading


def _with_part(reading: ScoreReading, part: Any) -> ScoreReading:
    from partitura.score import GraceNote, Note, TimeSignature

    clock = Clock(part)

    meters = sorted((meter.start.t, meter) for meter in part.iter_all(TimeSignature))
    notes = defaultdict(list, {place: list(heads) for place, heads in reading.notes.items()})
    starts, beats, irregular = dict(reading.starts), dict(reading.beats), set(reading.irregular)
    for measure in part.measures:
        start, end = clock(measure.start.t), clock(measure.end.t)
        name = str(measure.name if measure.name is not None else measure.number)
        starts.setdefault(name, start)
        meter = [meter for at, meter in meters if at <= measure.start.t][-1]
        if Fraction(4 * meter.beats, meter.beat_type) == end - start:
            beats[name] = beat_of(meter.beats, meter.beat_type)
        else:
            irregular.add(end - start)
        for note in part.iter_all(Note, measure.start, measure.end, include_subclasses=True):
            if isinstance(note, GraceNote):
                continue
            time = clock(note.start.t)
            pitch = (note.step, int(note.alter or 0), int(note.octave))
            length = snapped(clock(note.end_tied.t) - time)
            offset = snapped(time - start)
            notes[name, offset].append(
                ScoreNote(pitch, note.staff or 1, start + offset, length, note.tie_prev is None)
            )
    found = {place: tuple(heads) for place, heads in notes.items()}
    return ScoreReading(found, starts, frozenset(irregular), beats)


def snapped(length: Fraction) -> Fraction:
    """A length that a file's ticks can only round, 42 of 256 for a sixth, as it is meant."""
    if length.denominator <= FINEST:
        return length
    near = (Fraction(round(length * parts), parts) for parts in range(1, FINEST + 1))
    meant = (each for each in near if abs(each - length) < ROUNDED)
    return next(meant, length.limit_denominator(FINEST))


def source_findings(drill: DrillEntry, score: ScoreReading) -> Iterator[str]:
    """Each source entry stands in the score at its place: struck there, or sounding at the cut.

    Within one hand and at one place the entries add up to no more than the score has; entries
    follow the order of the score.
    """
    first: dict[str, Fraction] = {}
    for entry in drill.source:
        time = time_of(entry, score)
        if time is not None:
            first[entry.hand] = min(time, first.get(entry.hand, time))
    for entry in drill.source:
        where = f"{drill.id}: measure {entry.measure}, offset {entry.offset}"
        heads = score.notes.get((entry.measure, entry.offset), ())
        start = min(first.values(), default=None)
        usable = {head.pitch for head in heads if head.struck or head.time == start}
        for pitch in entry.pitches:
            if pitch not in usable:
                yield f"{where}: {pitch} is not struck in the score, which has {sorted(usable)}"
    times = [time for entry in drill.source if (time := time_of(entry, score)) is not None]
    if times != sorted(times):
        yield f"{drill.id}: its source is not in the order of the score"


def time_of(entry: SourceEntry, score: ScoreReading) -> Fraction | None:
    """When the entry stands in the score, in quarters from its start."""
    start = score.starts.get(entry.measure)
    return None if start is None else start + entry.offset


def completeness_findings(drill: DrillEntry, score: ScoreReading) -> Iterator[str]:
    """A drill of both hands as written leaves out no key that the score strikes meanwhile.

    Measures whose name stands twice in the score are passed over.
    """
    times = [time for entry in drill.source if (time := time_of(entry, score)) is not None]
    played: dict[Place, set[Pitch]] = defaultdict(set)
    for entry in drill.source:
        played[entry.measure, entry.offset] |= set(entry.pitches)
    for (measure, offset), heads in score.notes.items():
        struck = {
            head.pitch
            for head in heads
            if head.struck and min(times) <= head.time <= max(times)
        }  # fmt: skip
        if any(head.time != score.starts[measure] + offset for head in heads):
            continue
        for pitch in sorted(struck - played.get((measure, offset), set())):
            yield f"{drill.id}: measure {measure}, offset {offset}: {pitch} is left out"
