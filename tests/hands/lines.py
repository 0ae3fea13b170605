"""Small scores for two hands, a voice a line of text.

``(C4*1/2 E4*1/2) G3+B3*1 r*2 A4@1*1``: keys low to high, what they last in quarters; parentheses
are a beam, ``@1`` prints the note on that staff, ``~`` after the keys rolls them.
"""

import re
from fractions import Fraction

from engrave.errors import Notice
from engrave.music.notes import Hand, Pitch, Value, home_hand
from engrave.music.sheet import Bar, Direction, Event, KeySignature, Meter, Moment, Sheet, Tone
from engrave.music.values import single
from engrave.score import Score, TempoMark

_WORD = re.compile(
    r"(?P<open>\(?)(?P<keys>[^@*~()]+)(?P<roll>~?)(@(?P<staff>\d))?\*(?P<length>[\d/]+)(?P<close>\)?)"
)

Line = tuple[int, int, str]
"""A voice's number, its staff, its notes."""


def bar(*lines: Line, words: tuple[Direction, ...] = (), name: str = "1", staves: int = 2) -> Bar:
    """A bar of these voices."""
    events = [event for line in lines for event in _events(*line, staves)]
    length = max(event.end for event in events)
    meter = Meter(int(4 * length), 16) if length.denominator > 1 else Meter(int(length), 4)
    ordered = tuple(sorted(events, key=lambda event: (event.offset, event.voice)))
    return Bar(name, length, meter, KeySignature(0), ordered, directions=words)


def _events(voice: int, staff: int, text: str, staves: int) -> list[Event]:
    events, now, inside = [], Fraction(0), False
    for word in text.split():
        found = _WORD.fullmatch(word)
        assert found, word
        length, place = Fraction(found["length"]), int(found["staff"] or staff)
        inside = inside or bool(found["open"])
        beam = ("begin" if found["open"] else "end" if found["close"] else "continue",)
        keys = () if found["keys"] == "r" else found["keys"].split("+")
        events.append(
            Event(
                now,
                length,
                single(length) or Value("quarter"),
                tuple(Tone(Pitch.parse(key)) for key in keys),
                home_hand(place, staves) or Hand.RIGHT,
                place,
                voice,
                arpeggio=bool(found["roll"]),
                beams=beam if inside and keys else (),
            )
        )
        now += length
        inside = inside and not found["close"]
    return events


def score(*bars: Bar, quarters: int = 100, staves: int = 2) -> Score:
    """A score of these bars, so many quarters a minute."""
    tempo = TempoMark(Moment(0, Fraction(0)), Fraction(1), Fraction(quarters))
    sheet = Sheet(bars, staves=tuple(range(1, staves + 1)))
    no_notices: tuple[Notice, ...] = ()
    return Score(sheet, "", "", "Piano", ("Piano",), (tempo,), no_notices, "", "small.musicxml")


def hands(sheet: Sheet, number: int = 0) -> dict[int, str]:
    """Who plays the notes of each voice of a bar: a word an event, a letter a key, low to high."""
    found: dict[int, dict[Fraction, list[tuple[int, str]]]] = {}
    for event in sheet.bars[number].events:
        keys = found.setdefault(event.voice, {}).setdefault(event.offset, [])
        keys += [(tone.pitch.midi, event.hand.value[0].upper()) for tone in event.tones]
    return {
        voice: " ".join("".join(hand for _, hand in sorted(keys)) for keys in line.values() if keys)
        for voice, line in found.items()
        if any(line.values())
    }
