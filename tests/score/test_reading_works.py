"""Real works, note by note against partitura's reading of the same file."""

from functools import cache
from itertools import pairwise

import pytest

from engrave.score import Score, read_score
from tests.score.readers import differences, notes_by_partitura, notes_by_us, partitura_part
from tests.works import SWEPT, Work


@cache
def read(work: Work) -> Score:
    return read_score(work.score)


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_every_note_stands_where_partitura_reads_it(work: Work) -> None:
    ours = notes_by_us(read(work))
    assert ours
    assert differences(ours, notes_by_partitura(work.score)) == []


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_no_voice_sounds_over_itself_or_beyond_its_bar(work: Work) -> None:
    for bar in read(work).sheet.bars:
        for voice in {event.voice for event in bar.events}:
            events = [event for event in bar.events if event.voice == voice and not event.grace]
            assert all(a.end <= b.offset for a, b in pairwise(events))
            assert events[-1].end <= bar.length


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_lengths_are_those_of_the_printed_values(work: Work) -> None:
    events = [event for bar in read(work).sheet.bars for event in bar.events]
    odd = [e for e in events if not (e.grace or e.whole_bar) and e.length != e.value.length]
    assert odd == []


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_ties_and_grace_notes_are_as_many_as_partitura_finds(work: Work) -> None:
    import partitura

    notes = list(partitura_part(work.score).notes)
    events = [event for bar in read(work).sheet.bars for event in bar.events]
    tied = sum(tone.tie_in for event in events for tone in event.tones)
    assert tied == sum(note.tie_prev is not None for note in notes)
    graces = sum(len(event.tones) for event in events if event.grace)
    assert graces == sum(isinstance(note, partitura.score.GraceNote) for note in notes)


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_slurs_are_as_many_as_partitura_finds(work: Work) -> None:
    import partitura

    theirs = [
        slur
        for slur in partitura_part(work.score).iter_all(partitura.score.Slur)
        if slur.start_note is not None and slur.end_note is not None
    ]
    ours = [span for span in read(work).sheet.spans if span.kind == "slur"]
    assert len(ours) == len(theirs)


@pytest.mark.parametrize("work", SWEPT, ids=lambda work: work.name)
def test_meters_and_keys_are_those_that_partitura_reads(work: Work) -> None:
    part = partitura_part(work.score)
    for bar, measure in zip(read(work).sheet.bars, part.measures, strict=True):
        beats, beat_type, _ = part.time_signature_map(measure.start.t)
        assert (bar.meter.beats, bar.meter.beat_type) == (beats, beat_type)
        assert bar.key.fifths == part.key_signature_map(measure.start.t)[0]
