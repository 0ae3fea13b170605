"""Sheets for tests, written by hand in a short line of words.

A word is ``PITCHES:VALUE`` and what may follow: ``C4,E4:8.=1,3`` a dotted eighth with fingers,
``r:4`` a rest, ``R:4`` one that fills its bar, ``G4:8t`` a triplet eighth, ``G4:16(5/4)`` one of
five in the time of four, ``/G4:8`` a grace note, ``~G4:4`` tied from before, ``G4:4~`` tied to the
next, ``G4:8!accent`` with an articulation, ``G4:8@41`` with a label. A starred finger is computed.
"""

import re
from dataclasses import replace
from fractions import Fraction

from engrave.music.notes import Finger, FingerOrigin, Hand, Pitch, Tuplet, Value
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    ClefChange,
    Event,
    KeySignature,
    Meter,
    Sheet,
    Span,
    Tone,
)

_TYPES = {
    "1": "whole",
    "2": "half",
    "4": "quarter",
    "8": "eighth",
    "16": "16th",
    "32": "32nd",
    "64": "64th",
}
_WORD = re.compile(
    r"(?P<grace>/?)(?P<tie_in>~?)(?P<pitches>[^:]+):(?P<type>\d+)(?P<dots>\.*)"
    r"(?P<tuplet>t|\(\d+/\d+\))?(?P<tie_out>~?)(?:=(?P<fingers>[\d*,.]+))?"
    r"(?P<articulations>(?:![a-z-]+)*)(?:@(?P<label>\w+))?"
)


def events(words: str, voice: int = 1, staff: int | None = None) -> tuple[Event, ...]:
    """One voice of a bar from its beginning."""
    found, now = [], Fraction(0)
    for word in words.split():
        event = _event(word, now, voice, staff or (1 if voice <= 4 else 2))
        found.append(event)
        now = event.end
    return tuple(found)


def bar(
    *voices: str | tuple[Event, ...],
    name: str = "1",
    meter: str = "2/4",
    key: int = 0,
    **more: object,
) -> Bar:
    """A bar; a voice in words is voice 1, the next one voice 5, as on two staves."""
    lines = [
        events(voice, (1, 5)[number]) if isinstance(voice, str) else voice
        for number, voice in enumerate(voices)
    ]
    beats, beat_type = map(int, meter.split("/"))
    length = max((event.end for line in lines for event in line), default=Fraction(0))
    made = Bar(name, length, Meter(beats, beat_type), KeySignature(key), sum(lines, ()))
    return replace(made, **more)  # type: ignore[arg-type]


def sheet(*bars: Bar, staves: tuple[int, ...] = (1,), spans: tuple[Span, ...] = ()) -> Sheet:
    """A sheet with the usual clefs."""
    clefs = {1: TREBLE, 2: BASS}
    first = tuple(ClefChange(Fraction(0), staff, clefs[staff]) for staff in staves)
    bars = (replace(bars[0], clefs=first + bars[0].clefs), *bars[1:])
    return Sheet(bars, spans, staves)


def _event(word: str, offset: Fraction, voice: int, staff: int) -> Event:
    match = _WORD.fullmatch(word)
    assert match, word
    tuplet = None
    if match["tuplet"]:
        actual, normal = (3, 2) if match["tuplet"] == "t" else _ratio(match["tuplet"])
        tuplet = Tuplet(actual, normal)
    value = Value(_TYPES[match["type"]], len(match["dots"]), tuplet)
    rest = match["pitches"] in "rR"
    names = [] if rest else match["pitches"].split(",")
    fingers = match["fingers"].split(",") if match["fingers"] else ["."] * len(names)
    return Event(
        offset=offset,
        length=Fraction(0) if match["grace"] else value.length,
        value=value,
        tones=tuple(
            Tone(Pitch.parse(name), _finger(finger), bool(match["tie_in"]), bool(match["tie_out"]))
            for name, finger in zip(names, fingers, strict=True)
        ),
        hand=Hand.RIGHT if voice <= 4 else Hand.LEFT,
        staff=staff,
        voice=voice,
        grace=bool(match["grace"]),
        grace_slash=bool(match["grace"]),
        articulations=tuple(match["articulations"].split("!")[1:]),
        whole_bar=match["pitches"] == "R",
        label=match["label"],
    )


def _ratio(text: str) -> tuple[int, int]:
    """``(5/4)``."""
    actual, normal = text.strip("()").split("/")
    return int(actual), int(normal)


def _finger(text: str) -> Finger | None:
    if text == ".":
        return None
    origin = FingerOrigin.COMPUTED if text.endswith("*") else FingerOrigin.SCORE
    return Finger(int(text.rstrip("*")), origin)
