"""Two rhythms on their common grid, a sixteenth a step, in bars that the slower hand divides.

Enters: a ``Meeting``. Leaves: sheets to be tapped, or played on one key a hand. One bar is one
meeting, however long that is in the passage. Knows nothing of ladders and remarks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from engrave.drills.against.meeting import Meeting
from engrave.music.notes import Hand, Pitch
from engrave.music.sheet import (
    BASS,
    TREBLE,
    Bar,
    ClefChange,
    Direction,
    Event,
    KeySignature,
    Meter,
    Sheet,
    Tone,
    first_voice,
)
from engrave.music.units import Quarters
from engrave.music.values import single

UNIT = Fraction(1, 4)
TAPPED = Pitch("B", 0, 4)
"""The middle line: the place of a rhythm without pitches."""

LINE = 24
"""Steps that fill a line of print, or thereabouts."""


@dataclass(frozen=True, slots=True)
class Tap:
    """A moment of the grid: when, for how long until the next, and which hands strike."""

    unit: int
    length: int
    right: bool
    left: bool


def taps(right: int, left: int, units: int) -> tuple[Tap, ...]:
    """Every moment at which either hand strikes, in steps of the grid."""
    of_right = set(range(0, units, units // right))
    of_left = set(range(0, units, units // left))
    times = sorted(of_right | of_left)
    ends = [*times[1:], units]
    return tuple(
        Tap(time, end - time, time in of_right, time in of_left)
        for time, end in zip(times, ends, strict=True)
    )


def meter_of(meeting: Meeting) -> Meter:
    """A bar of the grid; its beats are the slower hand's notes where a meter has such."""
    slower, units = min(meeting.ratio), meeting.units
    return Meter(slower, 4) if units == 4 * slower else Meter(units, 16)


def tapped(meeting: Meeting) -> Sheet:
    """The composite on one line: R over what the right hand taps, L under what the left does.

    The letters are those of both languages. The source indices are those of ``ordered``.
    """
    right, left = meeting.ratio
    size = meeting.units // min(right, left)
    events: list[Event] = []
    signs: list[Direction] = []
    places = {Hand.RIGHT: 0, Hand.LEFT: 0}
    for tap in taps(right, left, meeting.units):
        source = []
        for hand, strikes in ((Hand.RIGHT, tap.right), (Hand.LEFT, tap.left)):
            if strikes:
                source.append(_index(meeting, hand, places[hand]))
                places[hand] += 1
        at = tap.unit * UNIT
        events += _notes(at, tap.length, TAPPED, Hand.RIGHT, tuple(sorted(source)))
        signs += [Direction(at, 1, "words", "R")] if tap.right else []
        signs += [Direction(at, 1, "words", "L", "below")] if tap.left else []
    return _repeated(meeting, _beamed(events, size * UNIT), signs, (1,))


def on_one_key(meeting: Meeting) -> Sheet:
    """Both hands, each on the outer note with which it begins."""
    events: list[Event] = []
    for hand in Hand:
        onsets = meeting.of(hand)
        size = meeting.units // len(onsets)
        pitch = onsets[0].pitches[-1 if hand is Hand.RIGHT else 0]
        mine: list[Event] = []
        for number in range(len(onsets)):
            source = (_index(meeting, hand, number),)
            mine += _notes(number * size * UNIT, size, pitch, hand, source)
        events += mine
    return _repeated(meeting, events, (), (1, 2))


def ordered(meeting: Meeting) -> list[tuple[Hand, int]]:
    """Hand and number of every note, in the order of the source."""
    notes = [(hand, number) for hand in Hand for number in range(len(meeting.of(hand)))]
    return sorted(notes, key=lambda each: (meeting.of(each[0])[each[1]].time, each[0].staff))


def _index(meeting: Meeting, hand: Hand, number: int) -> int:
    return ordered(meeting).index((hand, number))


def _notes(
    at: Quarters, units: int, pitch: Pitch, hand: Hand, source: tuple[int, ...]
) -> Iterator[Event]:
    """One note of so many steps, tied where no single value prints it."""
    left, first = units * UNIT, True
    while left:
        value = next(
            plain
            for steps in range(int(left / UNIT), 0, -1)
            if (plain := single(steps * UNIT)) is not None
        )
        more = left > value.length
        yield Event(
            offset=at,
            length=value.length,
            value=value,
            tones=(Tone(pitch, tie_in=not first, tie_out=more),),
            hand=hand,
            staff=hand.staff,
            voice=first_voice(hand.staff),
            source=source if first else (),
        )
        at, left, first = at + value.length, left - value.length, False


_LEVELS = {"eighth": 1, "16th": 2}


def _beamed(events: Sequence[Event], group: Quarters) -> list[Event]:
    """The events with beams over each note of the slower hand."""
    result: list[Event] = []
    for event in events:
        levels = _LEVELS.get(event.value.type, 0)
        place = event.offset // group
        mates = [
            other
            for other in events
            if other.offset // group == place and _LEVELS.get(other.value.type, 0)
        ]
        if not levels or len(mates) < 2:
            result.append(event)
            continue
        beams = tuple(_beam(event, mates, level) for level in range(1, levels + 1))
        result.append(replace(event, beams=beams))
    return result


def _beam(event: Event, mates: Sequence[Event], level: int) -> str:
    def reaches(number: int) -> bool:
        return 0 <= number < len(mates) and _LEVELS[mates[number].value.type] >= level

    at = mates.index(event)
    before, after = reaches(at - 1), reaches(at + 1)
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    return "backward hook" if at else "forward hook"


def _repeated(
    meeting: Meeting, events: Sequence[Event], signs: Sequence[Direction], staves: tuple[int, ...]
) -> Sheet:
    """The bar as often as it takes to fill a line, without a printed meter."""
    meter = meter_of(meeting)
    clefs = tuple(
        ClefChange(Fraction(0), staff, TREBLE if staff == 1 else BASS) for staff in staves
    )
    bar = Bar(
        name="1",
        length=meter.length,
        meter=meter,
        key=KeySignature(0),
        events=_labelled(events, meeting.right[0].measure),
        directions=tuple(signs),
        meter_shown=False,
    )
    times = max(2, LINE // meeting.units)
    bars = [
        replace(bar, name=str(number + 1), clefs=clefs if number == 0 else (), events=bar.events)
        for number in range(times)
    ]
    bars[1:] = [replace(each, events=_labelled(events, None)) for each in bars[1:]]
    bars[-1] = replace(bars[-1], barline="light-heavy")
    return Sheet(tuple(bars), staves=staves)


def _labelled(events: Sequence[Event], measure: str | None) -> tuple[Event, ...]:
    first, *others = events
    return (replace(first, label=measure), *others)
