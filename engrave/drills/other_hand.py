"""Other hand: the same notes as printed, played by the other hand with fingers of its own.

Enters: a passage. Leaves: a drill for each marked hand, moved by octaves where the other hand
would have to reach across the body, on the other hand's staff.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil

from engrave.drills.as_printed import as_printed
from engrave.drills.clefs import suited
from engrave.drills.family import Family, Made, Options, drill_of
from engrave.drills.sifting import fewer_than_six
from engrave.fingering import finger
from engrave.fingering.keyboard import HIGHEST_KEY, LOWEST_KEY
from engrave.music.drill import Drill
from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset
from engrave.music.sheet import Bar, Event, Sheet, Span, Tone
from engrave.music.units import Quarters
from engrave.music.values import bar_rest
from engrave.passage.model import Passage
from engrave.remarks import Remark

OWN_HALF = {Hand.RIGHT: (60, 84), Hand.LEFT: (36, 60)}
"""Where each hand's music mostly lies, as MIDI keys: the two octaves above and below middle C."""

OwnFingers = Mapping[tuple[Quarters, Pitch], Finger]
"""A finger for every key that goes down, by time in quarters and the pitch as the drill has it."""


def make(passage: Passage, options: Options) -> Made:
    """The notes of every marked hand for the other one."""
    return Made(tuple(_drill(passage, hand, options) for hand in passage.hands))


def octaves_to(line: Sequence[Onset], other: Hand) -> int:
    """How many octaves up the line must move for its middle to lie in ``other``'s half.

    Negative is down; no further than the keyboard goes.
    """
    keys = [pitch.midi for onset in line for pitch in onset.pitches]
    middle, (low, high) = Fraction(sum(keys), len(keys)), OWN_HALF[other]
    if middle < low:
        return min(ceil((low - middle) / 12), (HIGHEST_KEY - max(keys)) // 12)
    if middle > high:
        return -min(ceil((middle - high) / 12), (min(keys) - LOWEST_KEY) // 12)
    return 0


def _drill(passage: Passage, hand: Hand, options: Options) -> Drill:
    line, other = passage.lines[hand], hand.other
    octaves = octaves_to(line, other)
    moved = [_moved(onset, other, octaves) for onset in line]
    fingers = _fingers(passage, moved, other)
    printed = as_printed(passage, (hand,))
    bars = tuple(
        _bar(bar, start, hand, octaves, fingers)
        for start, bar in zip(printed.sheet.starts, printed.sheet.bars, strict=True)
    )
    spans = tuple(_span(span, hand) for span in printed.sheet.spans if _stays(span))
    sheet = suited(Sheet(bars, spans, (other.staff,)))
    name, told = ("other-hand", "in-time"), [_told(other, octaves)]
    drill = drill_of(
        passage, options, name, (other,), sheet, printed.source, of=other, remarks=told
    )
    return replace(drill, octaves=octaves, fingers="own")


def _moved(onset: Onset, other: Hand, octaves: int) -> Onset:
    tones = tuple(
        replace(tone, pitch=tone.pitch.shifted(octaves), finger=None) for tone in onset.tones
    )
    return replace(onset, hand=other, tones=tones)


def _fingers(passage: Passage, moved: Sequence[Onset], other: Hand) -> OwnFingers:
    tempo = passage.goal.quarters_per_minute
    return {
        (onset.time, tone.pitch): Finger(number, FingerOrigin.COMPUTED)
        for onset, numbers in zip(
            moved, finger(moved, other, passage.stretch_mm[other], tempo), strict=True
        )
        for tone, number in zip(onset.tones, numbers, strict=True)
    }


def _bar(bar: Bar, start: Quarters, hand: Hand, octaves: int, fingers: OwnFingers) -> Bar:
    """The bar on the other hand's staff; one in which the hand is silent gets a rest."""
    other = hand.other
    events = tuple(_event(event, start, hand, octaves, fingers) for event in bar.events)
    return replace(
        bar,
        events=events or (_rest(bar, other),),
        clefs=(),
        directions=tuple(replace(sign, staff=other.staff) for sign in bar.directions),
    )


def _rest(bar: Bar, hand: Hand) -> Event:
    """The rest of a whole bar or, in a pickup, one of its length."""
    value, is_whole = bar_rest(bar)
    return Event(Fraction(0), bar.length, value, (), hand, hand.staff, 1, whole_bar=is_whole)


def _event(event: Event, start: Quarters, hand: Hand, octaves: int, fingers: OwnFingers) -> Event:
    def moved(tone: Tone) -> Tone:
        pitch = tone.pitch.shifted(octaves)
        struck = not event.grace and not tone.tie_in
        return replace(
            tone,
            pitch=pitch,
            finger=fingers.get((start + event.offset, pitch)) if struck else None,
        )

    return replace(
        event,
        tones=tuple(moved(tone) for tone in event.tones),
        hand=hand.other,
        staff=hand.other.staff,
        stem=None,
    )


def _stays(span: Span) -> bool:
    """Slurs and hairpins go along; octave lines and pedal belong to the place."""
    return span.kind in ("slur", "crescendo", "diminuendo")


def _span(span: Span, hand: Hand) -> Span:
    return replace(
        span,
        staff=hand.other.staff,
        placement=None if span.kind == "slur" else span.placement,
    )


def _told(other: Hand, octaves: int) -> Remark:
    if octaves == 0:
        return Remark.of("other-hand.as-written", hand=other)
    key = "other-hand.moved-up" if octaves > 0 else "other-hand.moved-down"
    return Remark.of(key, hand=other, count=abs(octaves))


FAMILY = Family("other-hand", make, Options, never=fewer_than_six)
