"""The passage as it is printed, with fingers, sources and measure numbers on its notes.

Enters: a ``Passage`` and the hands to keep. Leaves: a ``Sheet`` and the source it plays. What
families that keep the printed values (as written, hands apart, chain, staccato) have in common.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from engrave.drills.family import source_note
from engrave.drills.one_hand import alone, with_both_ends
from engrave.drills.one_staff import on_one_staff
from engrave.music.drill import SourceNote
from engrave.music.notes import Finger, Hand, Pitch
from engrave.music.sheet import Bar, Event, Sheet
from engrave.music.units import Quarters
from engrave.passage.model import Passage


@dataclass(frozen=True, slots=True)
class AsPrinted:
    """A passage as printed: the sheet, and the notes it plays in source order."""

    sheet: Sheet
    source: tuple[SourceNote, ...]


def as_printed(passage: Passage, hands: Sequence[Hand], *, keeps_staves: bool = False) -> AsPrinted:
    """The passage's sheet with the notes of ``hands`` alone, fingered and numbered.

    Those of one hand stand on one staff, in the clefs that suit them, unless ``keeps_staves``.
    """
    onsets = passage.onsets_of(hands)
    index = {(onset.time, onset.hand): number for number, onset in enumerate(onsets)}
    fingers = {(o.time, o.hand, t.pitch): t.finger for o in onsets for t in o.tones}
    staves = _staves(passage.sheet, hands)
    bars = tuple(
        _bar(bar, start, hands, staves, index, fingers)
        for start, bar in zip(passage.sheet.starts, passage.sheet.bars, strict=True)
    )
    slurs = with_both_ends((s for s in passage.sheet.spans if s.kind == "slur"), bars)
    spans = tuple(
        span
        for span in passage.sheet.spans
        if (span in slurs if span.kind == "slur" else span.staff in staves)
    )
    sheet = Sheet(bars, spans, staves)
    if len(hands) == 1 and not keeps_staves:
        sheet = on_one_staff(sheet, hands[0])
    return AsPrinted(sheet, tuple(source_note(onset) for onset in onsets))


def _staves(sheet: Sheet, hands: Sequence[Hand]) -> tuple[int, ...]:
    """Of both hands all staves, of one those on which it has notes."""
    if len(hands) > 1:
        return sheet.staves
    used = {
        event.staff
        for bar in sheet.bars
        for event in bar.events
        if event.hand in hands and event.tones
    }
    return tuple(sorted(used)) or (hands[0].staff,)


def _bar(
    bar: Bar,
    start: Quarters,
    hands: Sequence[Hand],
    staves: tuple[int, ...],
    index: dict[tuple[Quarters, Hand], int],
    fingers: dict[tuple[Quarters, Hand, Pitch], Finger | None],
) -> Bar:
    kept = alone(bar, hands)
    notes = [event for event in kept if event.tones] or kept
    top = min(notes, key=lambda e: (e.offset, e.staff, e.voice, not e.grace), default=None)
    events = [
        replace(
            _with_fingers(event, start, fingers),
            source=_source(event, start, index),
            label=bar.name if event is top else None,
        )
        for event in kept
    ]
    return replace(
        bar,
        events=tuple(events),
        clefs=tuple(change for change in bar.clefs if change.staff in staves),
        directions=tuple(sign for sign in bar.directions if sign.staff in staves),
    )


def _source(
    event: Event, start: Quarters, index: dict[tuple[Quarters, Hand], int]
) -> tuple[int, ...]:
    if event.grace or not event.is_struck:
        return ()
    return (index[start + event.offset, event.hand],)


def _with_fingers(
    event: Event, start: Quarters, fingers: dict[tuple[Quarters, Hand, Pitch], Finger | None]
) -> Event:
    if event.grace:
        return event

    tones = tuple(
        replace(
            tone,
            finger=None
            if tone.tie_in
            else fingers.pop((start + event.offset, event.hand, tone.pitch), None),
        )
        for tone in event.tones
    )
    return replace(event, tones=tones)
