"""Measures are full, values last what they print, beams stay in their beats: from the raw XML."""

import itertools
from collections import defaultdict
from collections.abc import Iterable, Iterator
from fractions import Fraction

from tests.checks.rawxml import RawMeasure, RawNote, RawPart

EVEN = Fraction(0)


def fullness_findings(parts: Iterable[RawPart], irregular: frozenset[Fraction]) -> Iterator[str]:
    """Every measure holds what its meter asks, and every staff is filled from end to end.

    A voice that changes staves fills them all: where it stands on one the others may be bare.

    The first and the last measure may be partial where they say ``implicit``; a length in
    ``irregular`` (quarters) is that of a measure which is irregular in the source itself.
    """
    for part in parts:
        last = len(part.measures) - 1
        voices = {
            staff: {n.voice for m in part.measures for n in m.notes if n.staff == staff}
            for staff in range(1, max(m.staves for m in part.measures) + 1)
        }
        for index, measure in enumerate(part.measures):
            where = f"part {part.id}, measure {measure.number}"
            yield from (f"{where}: {flaw}" for flaw in measure.flaws)
            edge = index in (0, last) and measure.implicit and measure.length < measure.full
            if measure.length != measure.full and not edge and measure.length not in irregular:
                yield f"{where}: holds {measure.length} of {measure.full} quarters"
            for staff in range(1, measure.staves + 1):
                for start, end in _holes(measure, voices[staff]):
                    yield f"{where}, staff {staff}: nothing stands from {start} to {end}"
            yield from (f"{where}: {text}" for text in _overlaps(measure))


def _holes(measure: RawMeasure, voices: set[str]) -> Iterator[tuple[Fraction, Fraction]]:
    filled = EVEN
    for note in sorted((n for n in measure.notes if n.voice in voices), key=lambda n: n.onset):
        if note.onset > filled:
            yield filled, note.onset
        filled = max(filled, note.onset + note.length)
    if filled < measure.length:
        yield filled, measure.length


def _overlaps(measure: RawMeasure) -> Iterator[str]:
    voices: dict[str, list[RawNote]] = defaultdict(list)
    for note in measure.notes:
        if not note.chord and not note.grace:
            voices[note.voice].append(note)
    for voice, notes in voices.items():
        notes.sort(key=lambda note: note.onset)
        for before, after in itertools.pairwise(notes):
            if before.onset + before.length > after.onset:
                yield f"voice {voice}: the note at {before.onset} lasts into that at {after.onset}"


def value_findings(parts: Iterable[RawPart]) -> Iterator[str]:
    """Type, dots and time modification add up to the duration (MusicXML 4.0, ``duration``)."""
    for part in parts:
        for measure in part.measures:
            for note in measure.notes:
                if note.grace or note.printed in (None, note.length):
                    continue
                if note.pitch is None and note.printed == 4 and note.length == measure.length:
                    continue  # the whole rest stands for any measure
                yield (
                    f"part {part.id}, measure {measure.number}: the note at {note.onset} lasts "
                    f"{note.length} and is printed as {note.printed}"
                )


def beam_findings(parts: Iterable[RawPart], by_beat: bool) -> Iterator[str]:
    """Beams that begin also end, in their measure; ``by_beat``: each within one beat of the meter.

    A beam may follow a tuplet that itself reaches over beats.
    A measure marked implicit at the head of a part counts its beats from its end, as a pickup does.
    """
    for part in parts:
        for index, measure in enumerate(part.measures):
            pickup = index == 0 and measure.implicit
            shift = (measure.full - measure.length) % measure.beat if pickup else EVEN
            for text in _beams(measure, shift, by_beat):
                yield f"part {part.id}, measure {measure.number}: {text}"


def _beams(measure: RawMeasure, shift: Fraction, by_beat: bool) -> Iterator[str]:
    open_at: dict[tuple[str, int], Fraction] = {}
    for note in measure.notes:
        if note.chord or note.grace:
            continue
        for level, state in note.beams:
            beam = note.voice, level
            if state == "begin" and beam in open_at:
                yield f"beam {level} begins twice by {note.onset}"
            if state in ("continue", "end") and beam not in open_at:
                yield f"beam {level} at {note.onset} goes on from nowhere"
            if state == "begin":
                open_at[beam] = note.onset
            elif state in ("continue", "end") and beam in open_at:
                first = (open_at[beam] + shift) // measure.beat
                if by_beat and (note.onset + shift) // measure.beat != first and not note.in_tuplet:
                    yield f"beam {level} from {open_at[beam]} reaches into another beat"
                if state == "end":
                    del open_at[beam]
    for (_, level), onset in open_at.items():
        yield f"beam {level} from {onset} never ends"
