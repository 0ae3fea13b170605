"""Real works, note by note against partitura's reading of the same file."""

from dataclasses import dataclass
from itertools import pairwise

import pytest

from engrave.score import Score, read_score
from tests.score.readers import differences, notes_by_partitura, notes_by_us, partitura_part
from tests.works import SWEPT, Work


@dataclass(frozen=True)
class Read:
    """A work, and our reading of it."""

    work: Work
    score: Score


@pytest.fixture(scope="module", params=SWEPT, ids=lambda work: work.name)
def read(request: pytest.FixtureRequest) -> Read:
    """One work after the other, read once for all tests of it."""
    return Read(request.param, read_score(request.param.score))


def test_every_note_stands_where_partitura_reads_it(read: Read) -> None:
    ours = notes_by_us(read.score)
    assert ours
    assert differences(ours, notes_by_partitura(read.work.score)) == []


def test_no_voice_sounds_over_itself_or_beyond_its_bar(read: Read) -> None:
    for bar in read.score.sheet.bars:
        for voice in {event.voice for event in bar.events}:
            events = [event for event in bar.events if event.voice == voice and not event.grace]
            assert all(a.end <= b.offset for a, b in pairwise(events))
            assert events[-1].end <= bar.length


def test_lengths_are_those_of_the_printed_values(read: Read) -> None:
    events = [event for bar in read.score.sheet.bars for event in bar.events]
    odd = [e for e in events if not (e.grace or e.whole_bar) and e.length != e.value.length]
    assert odd == []


def test_ties_and_grace_notes_are_as_many_as_partitura_finds(read: Read) -> None:
    import partitura

    notes = list(partitura_part(read.work.score).notes)
    events = [event for bar in read.score.sheet.bars for event in bar.events]
    tied = sum(tone.tie_in for event in events for tone in event.tones)
    assert tied == sum(note.tie_prev is not None for note in notes)
    graces = sum(len(event.tones) for event in events if event.grace)
    assert graces == sum(isinstance(note, partitura.score.GraceNote) for note in notes)


def test_slurs_are_as_many_as_partitura_finds(read: Read) -> None:
    import partitura

    theirs = [
        slur
        for slur in partitura_part(read.work.score).iter_all(partitura.score.Slur)
        if slur.start_note is not None and slur.end_note is not None
    ]
    ours = [span for span in read.score.sheet.spans if span.kind == "slur"]
    assert len(ours) == len(theirs)


def test_meters_and_keys_are_those_that_partitura_reads(read: Read) -> None:
    part = partitura_part(read.work.score)
    for bar, measure in zip(read.score.sheet.bars, part.measures, strict=True):
        beats, beat_type, _ = part.time_signature_map(measure.start.t)
        assert (bar.meter.beats, bar.meter.beat_type) == (beats, beat_type)
        assert bar.key.fifths == part.key_signature_map(measure.start.t)[0]
