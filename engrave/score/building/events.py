"""A music21 note, chord or rest becomes the events that are printed for it.

Enters: a ``RawItem``, its voice, how many staves there are. Leaves: ``Event``s, usually one; a
length that no single value prints becomes several, tied, and a chord over two staves one a staff.
Knows no bars beyond the offset. The hand is the one that reads the staff: who really plays is found
later.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch, Value, home_hand
from engrave.music.sheet import Event, Tone
from engrave.music.units import Quarters
from engrave.score.building.durations import printed_lengths
from engrave.score.formats.fingerings import deal
from engrave.score.formats.raw import NoteSigns, RawItem

_BEAMS = {"start": "begin", "continue": "continue", "stop": "end"}
_HOOKS = {"left": "backward hook", "right": "forward hook"}


def events_of(item: RawItem, voice: int, staves: int) -> list[Event]:
    """The events printed for ``item``, from its offset on."""
    places = item.staves or (item.staff,)
    return [
        replace(event, joined=number > 0)
        for number, staff in enumerate(sorted(set(places)))
        for event in _on_staff(item, staff, voice, home_hand(staff, staves) or Hand.RIGHT)
    ]


def _on_staff(item: RawItem, staff: int, voice: int, hand: Hand) -> list[Event]:
    element, duration = item.element, item.element.duration
    grace = bool(duration.isGrace)
    hidden = bool(element.style.hideObjectOnPrint) or any(p.cue for p in item.printed)
    event = Event(
        offset=item.offset,
        length=Quarters(0),
        value=Value("quarter"),
        tones=() if element.isRest or hidden else _tones(item, staff, hand),
        hand=hand,
        staff=staff,
        voice=voice,
        grace=grace,
        grace_slash=grace and bool(duration.slash),
        articulations=_merged(p.articulations for p in item.printed),
        ornaments=_merged(p.ornaments for p in item.printed),
        tremolo=next((p.tremolo for p in item.printed if p.tremolo), None),
        trill_line=next((p.trill_line for p in item.printed if p.trill_line), None),
        fermata=any(p.fermata for p in item.printed),
        arpeggio=any(p.arpeggio for p in item.printed),
        whole_bar=element.isRest and element.fullMeasure is True and not grace,
        silent=hidden,
        stem=_stem(element),
        beams=() if element.isRest else _beams(element),
    )
    return _tied(event, printed_lengths(duration))


def _tied(event: Event, pieces: Sequence[tuple[Value, Quarters]]) -> list[Event]:
    """``event`` printed with these values, tied where they are several."""
    events, now = [], event.offset
    for index, (value, length) in enumerate(pieces):
        first, last = index == 0, index == len(pieces) - 1
        tones = tuple(
            replace(
                tone,
                finger=tone.finger if first else None,
                tie_in=tone.tie_in or not first,
                tie_out=tone.tie_out or not last,
            )
            for tone in event.tones
        )
        events.append(replace(event, offset=now, length=length, value=value, tones=tones))
        now += length
    return events


def _tones(item: RawItem, staff: int, hand: Hand) -> tuple[Tone, ...]:
    notes = item.element.notes if item.element.isChord else (item.element,)
    places = item.staves or (staff,) * len(notes)
    fingers = _fingers([note.pitch.ps for note in notes], item.printed, hand)
    tones = [
        Tone(
            _pitch(note.pitch),
            Finger(finger, FingerOrigin.SCORE) if finger else None,
            tie_in=note.tie is not None and note.tie.type in ("stop", "continue"),
            tie_out=note.tie is not None and note.tie.type in ("start", "continue", "let-ring"),
        )
        for note, finger, place in zip(notes, fingers, places, strict=True)
        if place == staff
    ]
    return tuple(sorted(tones, key=lambda tone: (tone.pitch.midi, tone.pitch.diatonic)))


def _pitch(pitch: Any) -> Pitch:
    return Pitch(pitch.step, int(pitch.alter), pitch.implicitOctave)


def _fingers(
    heights: Sequence[float], printed: Sequence[NoteSigns], hand: Hand
) -> list[int | None]:
    """Each tone's finger; a whole column that stands at one tone of a chord is dealt out."""
    columns = [signs.fingers for signs in printed if signs.fingers]
    if len(columns) == 1 and len(columns[0]) == len(heights):
        dealt = deal(columns[0], len(heights), left=hand is Hand.LEFT)
        ranks = sorted(range(len(heights)), key=heights.__getitem__)
        return [dealt[ranks.index(place)] for place in range(len(heights))]
    return [signs.fingers[0] if signs.fingers else None for signs in printed]


def _stem(element: Any) -> str | None:
    stem = None if element.isRest else element.stemDirection
    return stem if stem in ("up", "down", "none", "double") else None


def _beams(element: Any) -> tuple[str, ...]:
    beams = sorted(element.beams.beamsList, key=lambda beam: beam.number)
    return tuple(_BEAMS.get(beam.type) or _HOOKS[beam.direction or "right"] for beam in beams)


def _merged(names: Any) -> tuple[str, ...]:
    """The names of a chord's tones, each once."""
    return tuple(dict.fromkeys(name for group in names for name in group))
