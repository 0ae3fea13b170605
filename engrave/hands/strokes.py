"""The score as hands see it: keys that go down at one moment, and how long each should stay down.

Enters: a sheet. Leaves: ``Stroke``s, each all keys of one moment, with where they are printed.
Knows nothing of who plays them.

Time is counted in whole ticks, so that moments are compared exactly and fast.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from engrave.music.notes import Hand, home_hand
from engrave.music.sheet import Event, Sheet
from engrave.music.units import Quarters

TICKS = 10080
"""Of a quarter: whole for all values down to the 64th, in tuplets of 3, 5, 7 and 9."""

ToneIndex = tuple[int, int, int]
"""A printed tone: the index of its bar, of the event in it, of the tone in that."""


@dataclass(slots=True)
class Note:
    """One key that goes down, from ``start`` to ``end``, tied notes being one.

    ``line`` is the voice and ``staff`` the staff where it is printed; ``home`` the hand that it is
    expected in (None: no staff says); ``beamed``, ``blank``, ``doubling`` and ``figure`` say how
    sure that is (modules ``crossing``, ``blank``, ``doubling``, ``neighbour``). ``bound`` is the
    hand in which it must be, and ``why`` who says so. ``parts`` are its printed tones.
    """

    key: int
    line: int
    staff: int
    start: int
    end: int
    home: Hand | None
    rolled: bool
    parts: list[ToneIndex]
    bound: Hand | None = None
    why: str = ""
    beamed: bool = False
    doubling: bool = False
    blank: bool = False
    figure: bool = False

    @property
    def event(self) -> tuple[int, int]:
        """The bar and the event in which it is struck."""
        return self.parts[0][:2]


@dataclass(frozen=True, slots=True)
class Stroke:
    """All notes that begin at one moment, low to high."""

    time: int
    bar: int
    notes: list[Note] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Strokes:
    """The strokes of a sheet in order, the ticks at which its bars begin, how many staves it has.

    ``by_event`` are the notes struck by the events of the sheet, by bar and event.
    """

    all: Sequence[Stroke]
    starts: Sequence[int]
    staves: int
    by_event: dict[tuple[int, int], list[Note]]


def ticks(time: Quarters) -> int:
    """A time in quarters as ticks."""
    return round(time.numerator * TICKS / time.denominator)


def strokes_of(sheet: Sheet) -> Strokes:
    """What the sheet strikes; grace notes take their time from others and are none."""
    staves = len(sheet.staves)
    homes = {staff: home_hand(staff, staves) for staff in range(1, max(staves, 2) + 1)}
    by_time: dict[int, Stroke] = {}
    by_event: dict[tuple[int, int], list[Note]] = {}
    tied: dict[tuple[int, int], list[Note]] = {}
    starts, start = [], 0
    for number, bar in enumerate(sheet.bars):
        starts.append(start)
        for index, event in enumerate(bar.events):
            if event.tones and not event.grace:
                time = start + ticks(event.offset)
                struck = _take(event, time, (number, index), homes, tied)
                if struck:
                    by_event[number, index] = struck
                    stroke = by_time.get(time)
                    if stroke is None:
                        stroke = by_time[time] = Stroke(time, number)
                    stroke.notes.extend(struck)
        start += ticks(bar.length)
    order = [by_time[time] for time in sorted(by_time)]
    for stroke in order:
        if len(stroke.notes) > 1:
            stroke.notes.sort(key=lambda note: (note.key, note.staff, note.line))
    return Strokes(order, starts, staves, by_event)


def _take(
    event: Event,
    time: int,
    place: tuple[int, int],
    homes: dict[int, Hand | None],
    tied: dict[tuple[int, int], list[Note]],
) -> list[Note]:
    """The notes that ``event`` strikes; what is tied to a note before makes that one longer."""
    struck = []
    end = time + ticks(event.length)
    for number, tone in enumerate(event.tones):
        key, part = tone.pitch.midi, (*place, number)
        before = tied.get((key, time)) if tone.tie_in else None
        if before:
            note = before.pop()
            note.end = end
            note.parts.append(part)
        else:
            home = homes.get(event.staff)
            note = Note(key, event.voice, event.staff, time, end, home, event.arpeggio, [part])
            struck.append(note)
        if tone.tie_out:
            tied.setdefault((key, end), []).append(note)
    return struck
