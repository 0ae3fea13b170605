"""Sheets made up by hypothesis: bars of any meter in use, filled to the last thirty-second."""

from dataclasses import replace
from fractions import Fraction

from hypothesis import strategies as st

from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch, Tuplet, Value
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    ClefChange,
    Event,
    KeySignature,
    Meter,
    Moment,
    Sheet,
    Span,
    Tone,
)
from engrave.music.units import Quarters

METERS = [
    (2, 4), (3, 4), (4, 4), (5, 4), (2, 2), (3, 2), (3, 8), (5, 8), (6, 8), (7, 8), (9, 8), (11, 8),
    (5, 16), (7, 16), (12, 16),
]  # fmt: skip
PLAIN = [
    Value(type_, dots)
    for type_ in ("whole", "half", "quarter", "eighth", "16th", "32nd")
    for dots in (0, 1, 2)
    if (8 * Value(type_, dots).length).denominator == 1
]
TUPLETS = [
    [Value("eighth", 0, Tuplet(3, 2))] * 3,
    [Value("16th", 0, Tuplet(3, 2))] * 3,
    [Value("16th", 0, Tuplet(6, 4))] * 6,
    [Value("16th", 0, Tuplet(5, 4))] * 5,
    [Value("quarter", 0, Tuplet(3, 2)), Value("eighth", 0, Tuplet(3, 2))],
    [Value("eighth", 1, Tuplet(3, 2)), *[Value("16th", 0, Tuplet(3, 2))] * 3],
]


@st.composite
def rhythms(draw: st.DrawFn, length: Quarters) -> list[Value]:
    """Values that fill ``length`` exactly."""
    found: list[Value] = []
    left = length
    while left:
        if draw(st.integers(0, 4)) == 0:
            group = draw(st.sampled_from(TUPLETS))
            size = sum((value.length for value in group), Fraction(0))
            if size <= left:
                found += group
                left -= size
                continue
        fitting = [value for value in PLAIN if value.length <= left]
        value = draw(st.sampled_from(fitting))
        found.append(value)
        left -= value.length
    return found


pitches = st.builds(Pitch, st.sampled_from("CDEFGAB"), st.integers(-2, 2), st.integers(2, 6))


@st.composite
def tones(draw: st.DrawFn) -> tuple[Tone, ...]:
    """A rest, a note, or a chord low to high, some keys fingered."""
    chosen = draw(st.lists(pitches, max_size=4, unique_by=lambda pitch: pitch.diatonic))
    finger = st.none() | st.builds(Finger, st.integers(1, 5), st.sampled_from(FingerOrigin))
    return tuple(Tone(pitch, draw(finger)) for pitch in sorted(chosen, key=lambda p: p.diatonic))


@st.composite
def voices(draw: st.DrawFn, length: Quarters, hand: Hand, voice: int) -> list[Event]:
    """One voice of a bar."""
    now, found = Fraction(0), []
    for value in draw(rhythms(length)):
        event = Event(now, value.length, value, draw(tones()), hand, hand.staff, voice)
        if event.tones and draw(st.integers(0, 9)) == 0:
            grace = Value("16th")
            found.append(replace(event, length=Fraction(0), value=grace, grace=True))
        found.append(event)
        now += value.length
    return found


@st.composite
def sheets(draw: st.DrawFn) -> Sheet:
    """One to four bars on two staves, tied here and there, with a pickup now and then."""
    meter = Meter(*draw(st.sampled_from(METERS)))
    key = KeySignature(draw(st.integers(-7, 7)))
    bars = []
    for number in range(draw(st.integers(1, 4))):
        short = number == 0 and draw(st.booleans())
        length = Fraction(1, 2) if short else meter.length
        events: list[Event] = []
        for hand, voice in ((Hand.RIGHT, 1), (Hand.RIGHT, 2), (Hand.LEFT, 5)):
            if voice == 1 or draw(st.booleans()):
                events += draw(voices(length, hand, voice))
        bars.append(Bar(str(number), length, meter, key, tuple(events), implicit=short))
    clefs = (ClefChange(Fraction(0), 1, TREBLE), ClefChange(Fraction(0), 2, BASS))
    bars[0] = replace(bars[0], clefs=clefs)
    sheet = _tied(Sheet(tuple(bars)))
    return replace(sheet, spans=_spans(sheet))


def _tied(sheet: Sheet) -> Sheet:
    """The sheet with a tie wherever a note is followed by its like in the same voice."""
    last: dict[int, tuple[int, int]] = {}
    events = [list(bar.events) for bar in sheet.bars]
    for number, bar in enumerate(sheet.bars):
        for index, event in enumerate(bar.events):
            if event.grace:
                continue
            before = last.get(event.voice)
            last[event.voice] = (number, index)
            if before is None or not event.tones:
                continue
            earlier = events[before[0]][before[1]]
            shared = {t.pitch for t in earlier.tones} & {t.pitch for t in event.tones}
            if shared and not any(e.grace and e.offset == event.offset for e in bar.events):
                events[before[0]][before[1]] = replace(
                    earlier,
                    tones=tuple(replace(t, tie_out=t.pitch in shared) for t in earlier.tones),
                )
                now = events[number][index]
                events[number][index] = replace(
                    now, tones=tuple(replace(t, tie_in=t.pitch in shared) for t in now.tones)
                )
    bars = (replace(bar, events=tuple(made)) for bar, made in zip(sheet.bars, events, strict=True))
    return replace(sheet, bars=tuple(bars))


def _spans(sheet: Sheet) -> tuple[Span, ...]:
    """A slur over the first voice and a wedge below it, where it has two notes."""
    notes = [
        Moment(number, event.offset)
        for number, bar in enumerate(sheet.bars)
        for event in bar.events
        if event.voice == 1 and event.tones and not event.grace
    ]
    if len(notes) < 2:
        return ()
    return (Span("slur", notes[0], notes[-1]), Span("crescendo", notes[0], notes[-1]))
