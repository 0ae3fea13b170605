"""A sheet as a music21 score, for the direct way: one ``PartStaff`` a staff.

What music21 needs for the same print: clefs, key, meter, notes with fingers, ties and tuplets,
words above. Slurs and wedges are left out, which spares the direct way their time.
"""

from collections import defaultdict
from typing import Any

from engrave.music.notes import Value
from engrave.music.sheet import Bar, Event, Sheet


def stream_of(sheet: Sheet) -> Any:
    """The ``Score`` of ``sheet``."""
    from music21 import layout, stream

    score = stream.Score()
    staves = [_part(sheet, staff) for staff in sheet.staves]
    for staff in staves:
        score.insert(0, staff)
    if len(staves) > 1:
        score.insert(0, layout.StaffGroup(staves, symbol="brace"))
    return score


def _part(sheet: Sheet, staff: int) -> Any:
    from music21 import stream

    part = stream.PartStaff(id=f"staff-{staff}")
    before: Bar | None = None
    for number, bar in enumerate(sheet.bars, 1):
        part.append(_measure(bar, number, staff, before))
        before = bar
    return part


def _measure(bar: Bar, number: int, staff: int, before: Bar | None) -> Any:
    from music21 import clef, key, meter, stream

    measure = stream.Measure(number=number)
    for change in bar.clefs:
        if change.staff == staff:
            found = clef.clefFromString(
                f"{change.clef.sign}{change.clef.line}", change.clef.octaves
            )
            measure.insert(float(change.offset), found)
    if before is None or before.key != bar.key:
        measure.insert(0, key.KeySignature(bar.key.fifths))
    if bar.meter_shown and (before is None or before.meter != bar.meter):
        measure.insert(0, meter.TimeSignature(str(bar.meter)))
    voices: dict[int, list[Event]] = defaultdict(list)
    for event in bar.events:
        if event.staff == staff:
            voices[event.voice].append(event)
    for name, events in voices.items():
        target = measure if len(voices) == 1 else stream.Voice(id=str(name))
        _fill(target, events)
        if target is not measure:
            measure.insert(0, target)
    return measure


def _fill(target: Any, events: list[Event]) -> None:
    from music21 import expressions

    for event in events:
        if event.label:
            words = expressions.TextExpression(event.label)
            words.placement = "above"
            target.insert(event.offset, words)
        target.insert(event.offset, _sound(event))


def _sound(event: Event) -> Any:
    from music21 import articulations, chord, note

    length = _duration(event.value)
    if event.is_rest:
        rest = note.Rest(duration=length)
        rest.style.hideObjectOnPrint = event.silent
        return rest
    pitches = [tone.pitch.spelling.replace("b", "-") for tone in event.tones]
    made = (
        chord.Chord(pitches, duration=length)
        if len(pitches) > 1
        else note.Note(pitches[0], duration=length)
    )
    _tie(made, event)
    for tone in event.tones:
        if tone.finger:
            made.articulations.append(articulations.Fingering(tone.finger.number))
    for name in event.articulations:
        kind = {"accent": "Accent", "staccato": "Staccato", "tenuto": "Tenuto"}.get(name)
        if kind:
            made.articulations.append(getattr(articulations, kind)())
    return made.getGrace() if event.grace else made


def _tie(made: Any, event: Event) -> None:
    from music21 import tie

    kinds = {(False, True): "start", (True, True): "continue", (True, False): "stop"}
    notes = made.notes if made.isChord else [made]
    for sounding, tone in zip(notes, event.tones, strict=True):
        kind = kinds.get((tone.tie_in, tone.tie_out))
        if kind:
            sounding.tie = tie.Tie(kind)


def _duration(value: Value) -> Any:
    from music21 import duration

    made = duration.Duration(type=value.type, dots=value.dots)
    if value.tuplet:
        made.appendTuplet(duration.Tuplet(value.tuplet.actual, value.tuplet.normal))
    return made
