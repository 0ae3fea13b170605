"""Small passages built by hand, for the tests of the drill families."""

from collections.abc import Sequence
from fractions import Fraction

from engrave.errors import Source
from engrave.music.drill import Drill
from engrave.music.notes import Hand, Pitch
from engrave.music.ranges import parse_range
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    ClefChange,
    Event,
    KeySignature,
    Meter,
    Sheet,
    Tone,
)
from engrave.music.tempo import Goal
from engrave.music.values import spell
from engrave.passage.model import Passage
from engrave.passage.onsets import Origin, onsets

Notes = Sequence[tuple[str, str]]
"""Notes as (spelling or chord or ``rest``, length in quarters): ``("C4 E4", "1/2")``."""


def sheet(
    right: Notes = (),
    left: Notes = (),
    meter: Meter = Meter(2, 4),
    pickup: Fraction = Fraction(0),
    key: KeySignature = KeySignature(0),
    first_measure: int = 41,
) -> Sheet:
    """Bars of ``meter`` filled with the notes of both hands; the last is filled up with rests."""
    total = max(
        sum((Fraction(length) for _, length in notes), Fraction(0)) for notes in (right, left)
    )
    starts, now = [], Fraction(0)
    while now < total:
        length = pickup if pickup and now == 0 else meter.length
        starts.append((now, length))
        now += length
    bars = []
    for number, (start, length) in enumerate(starts, first_measure):
        events = [
            event
            for hand, notes in ((Hand.RIGHT, right), (Hand.LEFT, left))
            for event in _events(notes, hand, start, length, meter)
        ]
        lead = length != meter.length
        clefs = (ClefChange(Fraction(0), 1, TREBLE), ClefChange(Fraction(0), 2, BASS))
        bars.append(
            Bar(
                str(number), length, meter, key, tuple(events), clefs if start == 0 else (),
                implicit=lead,
            )
        )  # fmt: skip
    return Sheet(tuple(bars))


def _events(
    notes: Notes, hand: Hand, start: Fraction, length: Fraction, meter: Meter
) -> list[Event]:
    events, now = [], Fraction(0)
    lead = meter.length - length
    for text, quarters in notes:
        begin, end = now - start, now - start + Fraction(quarters)
        now += Fraction(quarters)
        if end <= 0 or begin >= length:
            continue
        span = (max(begin, Fraction(0)), min(end, length))
        for piece in spell([span], meter, lead):
            tones = (
                ()
                if text == "rest"
                else tuple(
                    Tone(
                        Pitch.parse(name),
                        tie_in=piece.offset > begin,
                        tie_out=piece.offset + piece.value.length < end,
                    )
                    for name in text.split()
                )
            )
            voice = 1 if hand is Hand.RIGHT else 5
            events.append(
                Event(piece.offset, piece.value.length, piece.value, tones, hand, hand.staff, voice)
            )
    return events


def passage(
    right: Notes = (),
    left: Notes = (),
    meter: Meter = Meter(2, 4),
    *,
    hands: tuple[Hand, ...] = (Hand.RIGHT,),
    pickup: Fraction = Fraction(0),
    goal: Goal = Goal(Fraction(1), Fraction(120)),
    key: KeySignature = KeySignature(0),
) -> Passage:
    """A passage of the notes given; ``pickup`` is the length of a first, incomplete bar."""
    cut = sheet(right, left, meter, pickup, key)
    lead = meter.length - pickup if pickup else Fraction(0)
    origins = {0: Origin(Fraction(0), lead)}
    lines = {hand: onsets(cut, hand, origins) for hand in Hand}
    source = Source("piece.yaml", 9, 5)
    stretch = dict.fromkeys(Hand, 205.0)
    return Passage("turn", source, parse_range("41-42"), hands, cut, lines, goal, stretch)


def even(names: str, length: str) -> list[tuple[str, str]]:
    """Single notes of one value: ``even("G4 A4", "1/4")``."""
    return [(name, length) for name in names.split()]


def heard(drill: Drill) -> list[tuple[str, Fraction, Fraction]]:
    """What the drill plays: (pitches, time, length with ties merged), both hands in order."""
    notes: list[tuple[str, Fraction, Fraction]] = []
    for hand in drill.hands:
        for onset in onsets(drill.sheet, hand):
            names = " ".join(pitch.spelling for pitch in onset.pitches)
            notes.append((names, onset.time, onset.length))
    return sorted(notes, key=lambda note: note[1])
